// core/session/text_reader.cpp
#include "core/session/text_reader.h"

#include <utility>

#include "core/midi/status.h"
#include "core/session/byte_block.h"

namespace strumwright::session {
namespace {

constexpr std::size_t sample_lines = 256;
constexpr std::size_t sample_bytes = std::size_t{64} << 10U;
constexpr std::size_t remark_lines = 3;
constexpr std::size_t remark_bytes = 12;

bool has_numbers(std::string_view text) {
  return text.substr(0, text.find('#')).find_first_not_of(" \t\r\v\f,;:") != std::string_view::npos;
}

const char* column_text(TextTime time) {
  switch (time) {
    case TextTime::none:
      return "without times";
    case TextTime::s:
      return "the first column is the time in s";
    case TextTime::ms:
      return "the first column is the time in ms";
    case TextTime::us:
      return "the first column is the time in us";
  }
  return "";
}

std::string bytes_text(const std::vector<std::uint8_t>& bytes) {
  static constexpr std::string_view digits = "0123456789ABCDEF";
  std::string text;
  for (std::size_t i = 0; i < bytes.size() && i < remark_bytes; ++i) {
    text += i == 0 ? "" : " ";
    text += digits[bytes[i] >> 4U];
    text += digits[bytes[i] & 0xFU];
  }
  return bytes.size() > remark_bytes ? text + " and so on" : text;
}

}  // namespace

Result<std::unique_ptr<InputReader>> TextReader::open(std::string path, ByteSource& source,
                                                      std::optional<TextReading> told) {
  std::unique_ptr<TextReader> reader(new TextReader(std::move(path), source));
  if (auto done = reader->collect_sample(); !done) return done.error();
  if (auto done = reader->settle(told); !done) return done.error();
  return std::unique_ptr<InputReader>(std::move(reader));
}

TextReader::TextReader(std::string path, ByteSource& source)
    : lines_(std::move(path), source), header_(untimed_header(InputKind::text, lines_.path())) {}

Result<Done> TextReader::collect_sample() {
  std::size_t bytes = 0;
  while (sample_.size() < sample_lines && bytes < sample_bytes) {
    auto line = lines_.next();
    if (!line) return line.error();
    if (!*line) break;
    if (!has_numbers((*line)->text)) continue;
    bytes += (*line)->text.size();
    sample_.push_back({std::string((*line)->text), (*line)->number});
  }
  return Done{};
}

Result<Done> TextReader::settle(std::optional<TextReading> told) {
  auto chosen = told ? Result<TextReading>(*told) : choose_reading(sample_, lines_.path());
  if (!chosen) return chosen.error();
  reading_ = *chosen;
  if (reading_.time != TextTime::none) {
    header_.sources[0].timing = wire::Grade::message;
    header_.sources[0].raw = false;
  }
  return remark_first_lines();
}

Result<Done> TextReader::remark_first_lines() {
  std::string remark = "read as " + to_text(reading_);
  remark += reading_.base == TextBase::hex ? ": hex bytes, " : ": decimal bytes, ";
  remark += column_text(reading_.time);
  for (std::size_t i = 0; i < sample_.size() && i < remark_lines; ++i) {
    if (auto read = read_numbers(sample_[i].text, sample_[i].number); !read) return read.error();
    remark += "; line " + std::to_string(sample_[i].number) + " is " + bytes_text(line_.bytes);
    if (reading_.time != TextTime::none) remark += " at " + std::to_string(line_.t_ns) + " ns";
  }
  header_.remarks.push_back(std::move(remark));
  last_ns_ = 0;  // the same lines come again as entries
  return Done{};
}

Result<std::span<const Entry>> TextReader::read() {
  do {
    auto more = read_line();
    if (!more) return more.error();
    if (!*more) return std::span<const Entry>();
  } while (line_.bytes.empty());
  entry_.t_ns = reading_.time == TextTime::none
                    ? static_cast<std::int64_t>(bytes_given_) * midi::byte_ns
                    : line_.t_ns;
  entry_.bytes = line_.bytes;
  bytes_given_ += line_.bytes.size();
  return std::span<const Entry>(&entry_, 1);
}

Result<bool> TextReader::read_line() {
  if (sample_at_ < sample_.size()) {
    const auto& line = sample_[sample_at_++];
    if (auto read = read_numbers(line.text, line.number); !read) return read.error();
    return true;
  }
  auto line = lines_.next();
  if (!line) return line.error();
  if (!*line) return false;
  if (auto read = read_numbers((*line)->text, (*line)->number); !read) return read.error();
  return true;
}

Result<Done> TextReader::read_numbers(std::string_view text, std::uint64_t number) {
  auto problem = read_text_line(text, reading_, line_);
  if (!problem && !line_.bytes.empty() && reading_.time != TextTime::none) {
    if (line_.t_ns < last_ns_) problem = TextProblem{"the time goes back", 1};
    last_ns_ = line_.t_ns;
  }
  if (!problem) return Done{};
  return Error{problem->what, lines_.where(number) + ", column " + std::to_string(problem->column),
               "correct the line, or say with --as how to read the text; it was read as " +
                   to_text(reading_)};
}

}  // namespace strumwright::session
