// core/session/capture_reader.cpp
#include "core/session/capture_reader.h"

#include <utility>

#include "core/limits.h"
#include "core/session/capture_line.h"
#include "core/session/label.h"

namespace strumwright::session {
namespace {

/// Enough that a call costs little beside them, few enough for the nearest cache (ours).
constexpr std::size_t batch_entries = 128;

constexpr const char* choose_again = "choose a capture, or say with --as what kind of file it is";

}  // namespace

Result<std::unique_ptr<InputReader>> CaptureReader::open(std::string path, ByteSource& source) {
  std::unique_ptr<CaptureReader> reader(new CaptureReader(std::move(path), source));
  if (auto done = reader->read_header(); !done) return done.error();
  return std::unique_ptr<InputReader>(std::move(reader));
}

CaptureReader::CaptureReader(std::string path, ByteSource& source)
    : lines_(std::move(path), source), entries_(batch_entries) {}

/// Room for the bytes of any line in `text`.
std::uint8_t* CaptureReader::space_for(std::string_view text) {
  if (bytes_.size() < text.size() / 2) bytes_.resize(text.size() / 2);
  return bytes_.data();
}

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

Result<std::span<const Entry>> CaptureReader::read() {
  if (const auto count = scan_chunks(); count > 0)
    return std::span<const Entry>(entries_).first(count);
  return read_by_json();
}

std::size_t CaptureReader::scan_chunks() {
  if (ended_) return 0;
  const auto text = lines_.buffered();
  const auto taken =
      scanner_.take(text, space_for(text), entries_, last_ns_, header_.sources.size());
  lines_.take_lines(taken.lines, taken.characters);
  if (taken.lines > 0) last_ns_ = entries_[taken.lines - 1].t_ns;
  return taken.lines;
}

Result<std::span<const Entry>> CaptureReader::read_by_json() {
  auto line = lines_.next();
  if (!line) return line.error();
  if (!*line) return std::span<const Entry>();
  const auto& [text, number, offset, has_line_feed] = **line;
  Entry& entry = judged_;
  entry = Entry();
  entry.settings = entries_.front().settings;
  auto refusal = json_.read_entry(text, header_.sources.size(), space_for(text), entry);
  if (refusal && refusal->not_json && !has_line_feed) {
    torn_at_ = offset;
    return std::span<const Entry>();
  }
  if (!refusal) refusal = check_order(entry.t_ns);
  if (refusal) return at_line(*refusal, number);
  if (entry.kind == Entry::Kind::settings) change_settings(entry.settings);
  last_ns_ = entry.t_ns;
  ended_ = entry.kind == Entry::Kind::end;
  return std::span<const Entry>(&judged_, 1);
}

void CaptureReader::change_settings(const Settings& settings) {
  for (auto& entry : entries_) entry.settings = settings;
}

std::optional<Refusal> CaptureReader::check_order(std::int64_t t_ns) const {
  if (ended_) return Refusal{"an entry follows the end of the capture", "remove what follows"};
  if (t_ns >= last_ns_) return std::nullopt;
  return Refusal{"the time goes back, from " + std::to_string(last_ns_) + " to " +
                     std::to_string(t_ns) + " ns",
                 "put the lines in order of time, or record again"};
}

}  // namespace strumwright::session
