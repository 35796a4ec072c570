// app/screens/wire_page.cpp
#include "app/screens/wire_page.h"

#include <algorithm>

#include "core/midi/status.h"

namespace strumwright::screens {

using midi::Code;
using midi::Event;

namespace {

/// A message may begin before the page and end in it: so far back events are read.
constexpr std::int64_t before_ns = 20'000'000;
/// Sources are merged with a hold-back, so that bytes may stand out of order by so much.
constexpr std::int64_t disorder_ns = 20'000'000;

using ByteView = decltype(engine::History::bytes)::View;

bool in_page(const engine::WireByte& byte, const WirePage& page) {
  return !byte.out() && byte.t_ns >= page.from_ns && byte.t_ns < page.to_ns;
}

/// Looks a little way back: enough for the length of the silence that leads into the page.
void find_byte_before(const ByteView& view, std::uint64_t first, WirePage& page) {
  constexpr std::uint64_t most = 256;
  const std::uint64_t end = first - view.first() > most ? first - most : view.first();
  for (auto i = first; i > end; --i) {
    const auto& byte = view[i - 1];
    if (byte.out() || byte.src() != page.src || byte.t_ns >= page.from_ns) continue;
    page.before_ns = byte.t_ns;
    return;
  }
}

void read_bytes(const ByteView& view, WirePage& page) {
  const auto first = view.at_or_after(page.from_ns);
  auto end = first;
  bool any = false;
  for (; end < view.end() && view[end].t_ns < page.to_ns + disorder_ns; ++end) {
    if (!in_page(view[end], page)) continue;
    page.more_sources = page.more_sources || (any && view[end].src() != page.src);
    page.src = view[end].src();
    any = true;
  }
  find_byte_before(view, first, page);
  std::int64_t free_ns = page.from_ns;
  for (auto i = first; i < end; ++i) {
    const auto& byte = view[i];
    if (!in_page(byte, page) || byte.src() != page.src) continue;
    const std::int64_t place_ns = std::max(byte.t_ns, free_ns);
    page.bytes.push_back({byte.t_ns, place_ns, byte.index(), byte.value()});
    if (!midi::is_real_time(byte.value())) free_ns = place_ns + midi::byte_ns;
  }
}

/// Bytes of a message whose length does not come with a `count` event.
std::uint64_t own_length(const Event& event) {
  const std::uint64_t status = event.running() ? 0 : 1;
  if (event.is(Code::cut_short)) return event.data2() + status;
  if (!event.is_message()) return 1;
  return static_cast<std::uint64_t>(midi::data_bytes(event.code())) + status;
}

ByteRole role_in(const Event& event, bool is_first) {
  if (event.is(Code::sysex_open) || event.code() == midi::sysex_start) return ByteRole::sysex;
  if (!event.is_message()) return ByteRole::stray;
  if (midi::is_real_time(event.code())) return ByteRole::real_time;
  return is_first && !event.running() ? ByteRole::status : ByteRole::data;
}

/// Gives the bytes of a message their role; those outside the page are counted only.
void mark_bytes(WirePage& page, PageMessage& message, int number) {
  const auto& event = message.event;
  const std::uint8_t status = event.is(Code::undefined) ? event.data1() : event.code();
  const bool real_time = midi::is_real_time(status);
  auto at =
      static_cast<std::int64_t>(event.byte()) - static_cast<std::int64_t>(page.bytes.front().index);
  const auto size = static_cast<std::int64_t>(page.bytes.size());
  for (std::uint64_t left = message.count; left > 0 && at < size; ++at) {
    if (at < 0) {
      --left;
      continue;
    }
    auto& byte = page.bytes[static_cast<std::size_t>(at)];
    if (!real_time && midi::is_real_time(byte.value)) continue;
    byte.role = role_in(event, left == message.count);
    byte.message = number;
    if (message.first < 0) message.first = static_cast<int>(at);
    message.last = static_cast<int>(at);
    --left;
  }
}

void read_messages(const engine::History& history, WirePage& page) {
  const auto view = history.events.view();
  auto i = view.at_or_after(page.from_ns - before_ns);
  // A long SysEx that reaches into the page is the event before.
  if (i > view.first()) --i;
  for (; i < view.end() && view[i].t_ns < page.to_ns + disorder_ns; ++i) {
    const auto& at = view[i];
    if (at.src != page.src || at.event.is(Code::count)) continue;
    PageMessage message{at.event, own_length(at.event)};
    const bool counted = i + 1 < view.end() && view[i + 1].event.is(Code::count);
    if (counted) message.count = view[i + 1].event.count();
    mark_bytes(page, message, static_cast<int>(page.messages.size()));
    if (message.first >= 0) page.messages.push_back(message);
  }
}

/// Bytes that no event names yet: a message under way.
void guess_the_rest(WirePage& page) {
  bool sysex = false;
  for (auto& byte : page.bytes) {
    if (byte.message >= 0) {
      sysex = false;
      continue;
    }
    if (midi::is_real_time(byte.value)) {
      byte.role = ByteRole::real_time;
      continue;
    }
    if (midi::is_status(byte.value)) sysex = byte.value == midi::sysex_start;
    byte.role = sysex                         ? ByteRole::sysex
                : midi::is_status(byte.value) ? ByteRole::status
                                              : ByteRole::data;
  }
}

}  // namespace

WirePage read_wire_page(const engine::History& history, std::int64_t from_ns, std::int64_t to_ns) {
  WirePage page;
  page.from_ns = from_ns;
  page.to_ns = to_ns;
  read_bytes(history.bytes.view(), page);
  if (page.bytes.empty()) return page;
  read_messages(history, page);
  guess_the_rest(page);
  return page;
}

const char* to_text(ByteRole role) {
  switch (role) {
    case ByteRole::status:
      return "status";
    case ByteRole::data:
      return "data";
    case ByteRole::sysex:
      return "sysex";
    case ByteRole::real_time:
      return "real_time";
    case ByteRole::stray:
      break;
  }
  return "stray";
}

}  // namespace strumwright::screens
