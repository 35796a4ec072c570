// app/screens/wire_page.h
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "app/engine/history.h"

namespace strumwright::screens {

/// What a byte was for.
enum class ByteRole : std::uint8_t { status, data, sysex, real_time, stray };

struct PageByte {
  std::int64_t t_ns = 0;
  /// Where it is drawn: its time, but never on top of the byte before.
  std::int64_t place_ns = 0;
  std::uint64_t index = 0;
  std::uint8_t value = 0;
  ByteRole role = ByteRole::data;
  int message = -1;  ///< index into `WirePage::messages`; below 0: none is known yet
};

/// A message or anomaly with its bytes on the page.
struct PageMessage {
  midi::Event event{};
  std::uint64_t count = 0;  ///< bytes that it spans, real-time bytes inside not counted
  int first = -1;           ///< its first and last byte on the page
  int last = -1;
  [[nodiscard]] bool runs() const { return event.is_message() && event.running(); }
};

/// The bytes of one source in a stretch of time with what the parser made of them.
struct WirePage {
  std::int64_t from_ns = 0;
  std::int64_t to_ns = 0;
  std::uint8_t src = 0;
  std::optional<std::int64_t> before_ns;  ///< the newest byte before the page, if not long before
  bool more_sources = false;              ///< others had bytes here too, which are not shown
  std::vector<PageByte> bytes;
  std::vector<PageMessage> messages;
};

/// Reads a page: of the source whose byte is the newest in it. The cost is that of the page.
[[nodiscard]] WirePage read_wire_page(const engine::History& history, std::int64_t from_ns,
                                      std::int64_t to_ns);

/// "status"
[[nodiscard]] const char* to_text(ByteRole role);

}  // namespace strumwright::screens
