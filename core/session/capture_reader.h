// core/session/capture_reader.h
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/session/capture_json.h"
#include "core/session/capture_line.h"
#include "core/session/input_reader.h"
#include "core/session/line_reader.h"

namespace strumwright::session {

/// Reads a capture file, JSON Lines, as its entries.
///
/// Lines as our writer makes them are scanned by hand, all others by a JSON library; both give the
/// same. A last line without line feed that is not valid JSON is left out; `torn_at` says where it
/// began. Memory: one buffer, whatever the length.
class CaptureReader final : public InputReader {
 public:
  /// Reads the header.
  static Result<std::unique_ptr<InputReader>> open(std::string path, ByteSource& source);

  [[nodiscard]] const InputHeader& header() const override { return header_; }
  Result<std::span<const Entry>> read() override;
  [[nodiscard]] std::optional<std::uint64_t> torn_at() const override { return torn_at_; }

 private:
  CaptureReader(std::string path, ByteSource& source);

  Result<Done> read_header();
  std::size_t scan_chunks();
  Result<std::span<const Entry>> read_by_json();
  void change_settings(const Settings& settings);
  std::uint8_t* space_for(std::string_view text);
  [[nodiscard]] std::optional<Refusal> check_order(std::int64_t t_ns) const;
  [[nodiscard]] Error at_line(const Refusal& refusal, std::uint64_t number) const;

  LineReader lines_;
  ChunkScanner scanner_;
  CaptureJson json_;
  InputHeader header_;
  std::vector<Entry> entries_;  ///< chunks that were scanned; all with the settings in force
  Entry judged_;                ///< by JSON
  std::vector<std::uint8_t> bytes_;
  std::int64_t last_ns_ = 0;
  bool ended_ = false;
  std::optional<std::uint64_t> torn_at_;
};

}  // namespace strumwright::session
