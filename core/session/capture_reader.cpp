// core/session/capture_reader.cpp
#include "core/session/capture_reader.h"

#include <utility>

#include "core/limits.h"
#include "core/session/capture_line.h"
#include "core/session/label.h"

namespace strumwright::session {
namespace {

constexpr const char* choose_again = "choose a capture, or say with --as what kind of file it is";

}  // namespace

Result<std::unique_ptr<InputReader>> CaptureReader::open(std::string path, ByteSource& source) {
  std::unique_ptr<CaptureReader> reader(new CaptureReader(std::move(path), source));
  if (auto done = reader->read_header(); !done) return done.error();
  return std::unique_ptr<InputReader>(std::move(reader));
}

CaptureReader::CaptureReader(std::string path, ByteSource& source)
    : lines_(std::move(path), source),
      bytes_(std::make_unique_for_overwrite<std::uint8_t[]>(limits::line_bytes / 2 +
                                                            ChunkScanner::slack)) {}

Error CaptureReader::at_line(const Refusal& refusal, std::uint64_t number) const {
  return {refusal.what, lines_.where(number), refusal.remedy};
}

Result<Done> CaptureReader::read_header() {
  auto line = lines_.next();
  if (!line) return line.error();
  if (!*line) return Error{"the file is empty", lines_.path(), choose_again};
  const auto& text = (*line)->text;
  auto refusal = json_.read_header(text, base_name(lines_.path()), header_);
  if (!refusal) return Done{};
  if (refusal->not_json && !(*line)->ended && text.starts_with("{\"strumwright\"")) {
    return Error{"the capture is cut off inside its first line", lines_.where(1), "record again"};
  }
  if (refusal->not_json) {
    return Error{"this is not a capture: its first line is not JSON", lines_.where(1),
                 choose_again};
  }
  return at_line(*refusal, 1);
}

Result<std::optional<Entry>> CaptureReader::next() {
  ChunkLine chunk;
  const auto length = scanner_.take(lines_.buffered(), bytes_.get(), chunk);
  const bool fits = chunk.t_ns >= last_ns_ && chunk.src < header_.sources.size() && !ended_;
  if (length == 0 || !fits) return next_by_json();
  lines_.take_line(length);
  last_ns_ = chunk.t_ns;
  Entry entry;
  entry.out = chunk.out;
  entry.src = static_cast<std::uint16_t>(chunk.src);
  entry.t_ns = chunk.t_ns;
  entry.bytes = chunk.bytes;
  entry.settings = settings_;
  return std::optional(entry);
}

Result<std::optional<Entry>> CaptureReader::next_by_json() {
  auto line = lines_.next();
  if (!line) return line.error();
  if (!*line) return std::optional<Entry>();
  const auto& [text, number, offset, has_line_feed] = **line;
  Entry entry;
  entry.settings = settings_;
  auto refusal = json_.read_entry(text, header_.sources.size(), bytes_.get(), entry);
  if (refusal && refusal->not_json && !has_line_feed) {
    torn_at_ = offset;
    return std::optional<Entry>();
  }
  if (!refusal) refusal = check_order(entry.t_ns);
  if (refusal) return at_line(*refusal, number);
  settings_ = entry.settings;
  last_ns_ = entry.t_ns;
  ended_ = entry.kind == Entry::Kind::end;
  return std::optional(entry);
}

std::optional<Refusal> CaptureReader::check_order(std::int64_t t_ns) const {
  if (ended_) return Refusal{"an entry follows the end of the capture", "remove what follows"};
  if (t_ns >= last_ns_) return std::nullopt;
  return Refusal{"the time goes back, from " + std::to_string(last_ns_) + " to " +
                     std::to_string(t_ns) + " ns",
                 "put the lines in order of time, or record again"};
}

}  // namespace strumwright::session
