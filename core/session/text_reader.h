// core/session/text_reader.h
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/session/input_reader.h"
#include "core/session/line_reader.h"
#include "core/session/text_choice.h"
#include "core/session/text_reading.h"

namespace strumwright::session {

/// Reads a text of numbers: a chunk a line, under the reading that was told or else found in the
/// first lines (256 of them or 64 KiB, ours). `header().remarks` say how the first lines were read.
///
/// Without times the bytes are laid end to end at wire speed, grade none, raw. With a time column
/// the grade is `message`, and the bytes are not claimed to be raw: what prints times prints whole
/// messages, so the status bytes that it shows need not have been on a wire.
class TextReader final : public InputReader {
 public:
  static Result<std::unique_ptr<InputReader>> open(std::string path, ByteSource& source,
                                                   std::optional<TextReading> told);

  [[nodiscard]] const InputHeader& header() const override { return header_; }
  Result<std::span<const Entry>> read() override;

 private:
  TextReader(std::string path, ByteSource& source);

  Result<Done> collect_sample();
  Result<Done> settle(std::optional<TextReading> told);
  Result<Done> remark_first_lines();
  Result<bool> read_line();
  Result<Done> read_numbers(std::string_view text, std::uint64_t number);

  LineReader lines_;
  InputHeader header_;
  Entry entry_;  ///< the newest
  TextReading reading_;
  std::vector<SampleLine> sample_;
  std::size_t sample_at_ = 0;
  TextLine line_;
  std::int64_t last_ns_ = 0;
  std::uint64_t bytes_given_ = 0;
};

}  // namespace strumwright::session
