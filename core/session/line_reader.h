// core/session/line_reader.h
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "core/limits.h"
#include "core/result.h"
#include "core/session/byte_source.h"

namespace strumwright::session {

/// A line without its line feed. The text is good until the next call.
struct Line {
  std::string_view text;
  std::uint64_t number = 0;  ///< from 1
  std::uint64_t offset = 0;  ///< of its first byte
  bool ended = true;         ///< a line feed followed
};

/// Lines of a byte source, in one buffer that is used again and again.
///
/// Reads pieces of up to 256 KiB (ours; smaller ones first, as fresh memory costs more than
/// parsing), but asks for more only when no whole line is left, so that lines of a pipe come as
/// they arrive. A UTF-8 byte order mark at the start is skipped. A line longer than
/// `limits::line_bytes` is refused before more of it is read.
class LineReader {
 public:
  /// Bytes behind the text that may be read, but mean nothing (a scanner may look ahead).
  static constexpr std::size_t padding = 64;

  LineReader(std::string path, ByteSource& source);

  /// The next line; none at the end.
  Result<std::optional<Line>> next();

  /// What is buffered but not yet taken: any number of lines, the last perhaps not whole. A NUL
  /// stands behind it.
  [[nodiscard]] std::string_view buffered() const { return {at_, left_}; }

  /// Takes whole lines of `buffered()`: how many, and how long with their line feeds.
  void take_lines(std::size_t lines, std::size_t characters) {
    at_ += characters;
    left_ -= characters;
    offset_ += characters;
    number_ += lines;
  }

  [[nodiscard]] const std::string& path() const { return path_; }

  /// "evening.jsonl, line 12"
  [[nodiscard]] std::string where(std::uint64_t number) const;

 private:
  Result<Done> start();
  Result<Done> fill();
  void grow();
  [[nodiscard]] Error too_long() const;
  [[nodiscard]] Line cut(std::size_t text_bytes, bool ended);

  std::string path_;
  ByteSource& source_;
  std::size_t capacity_;
  std::unique_ptr<char[]> buffer_;
  const char* at_;
  std::size_t left_ = 0;
  std::size_t searched_ = 0;  ///< of what is left: known to hold no line feed
  std::uint64_t offset_ = 0;
  std::uint64_t number_ = 0;
  bool has_more_ = false;  ///< the last read filled all the room that there was
  bool started_ = false;
  bool ended_ = false;
};

}  // namespace strumwright::session
