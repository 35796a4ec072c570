// core/session/capture_json.cpp
#include "core/session/capture_json.h"

#include <span>
#include <utility>

#include <simdjson.h>

#include "core/limits.h"
#include "core/session/capture_line.h"
#include "core/session/hex_digit.h"
#include "core/session/label.h"

namespace strumwright::session {
namespace {

using simdjson::dom::element;
using simdjson::dom::object;
using Answer = std::optional<Refusal>;

/// Longer than any pause that a setting could mean: about 11 days (ours).
constexpr double most_setting_ms = 1e9;

/// Of a message whose end is still to come: its status and one data byte.
constexpr std::size_t carried_open_bytes = 2;

Refusal bad_line(std::string what) {
  return {std::move(what), "correct or remove the line, or record again"};
}

Refusal bad_header(std::string what) {
  return {std::move(what), "record again, or export the session again"};
}

std::string quoted(std::string_view key) { return '"' + clean_label(key) + '"'; }

/// Whole numbers from 0 to `most`, in either of the library's two integer types.
bool take_whole(element value, std::int64_t most, std::int64_t& number) {
  std::int64_t taken = 0;
  if (value.get_int64().get(taken) != simdjson::SUCCESS || taken < 0 || taken > most) return false;
  number = taken;
  return true;
}

bool take_text(element value, std::string_view& text) {
  return value.get_string().get(text) == simdjson::SUCCESS;
}

std::optional<wire::Grade> grade_by_text(std::string_view text) {
  using wire::Grade;
  for (const auto grade : {Grade::wire, Grade::byte, Grade::message, Grade::batched, Grade::none}) {
    if (text == wire::to_text(grade)) return grade;
  }
  return std::nullopt;
}

Answer take_hex(std::string_view text, std::uint8_t* space, Entry& entry) {
  if (text.size() % 2 != 0) return bad_line("\"hex\" has an odd number of digits");
  for (std::size_t i = 0; i < text.size() / 2; ++i) {
    const unsigned high = hex_digit(text[2 * i]);
    const unsigned low = hex_digit(text[2 * i + 1]);
    if ((high | low) > 0xFU) return bad_line("\"hex\" holds something other than hex digits");
    space[i] = static_cast<std::uint8_t>(high << 4U | low);
  }
  entry.bytes = {space, text.size() / 2};
  return std::nullopt;
}

Answer take_setting(element value, std::string_view key, double& setting_ms) {
  double taken_ms = 0.0;
  if (value.get_double().get(taken_ms) != simdjson::SUCCESS || !(taken_ms >= 0.0) ||
      taken_ms > most_setting_ms) {
    return bad_line(quoted(key) + " is not a number of milliseconds from 0 to 1,000,000,000");
  }
  setting_ms = taken_ms;
  return std::nullopt;
}

Answer take_settings(element value, Settings& settings) {
  object members;
  if (value.get_object().get(members) != simdjson::SUCCESS) {
    return bad_line("\"settings\" is not an object");
  }
  const std::pair<std::string_view, double*> known[] = {{"strum_gap_ms", &settings.strum_gap_ms},
                                                        {"refractory_ms", &settings.refractory_ms},
                                                        {"hold_limit_ms", &settings.hold_limit_ms}};
  for (const auto& [key, member] : members) {
    for (const auto& [name, setting_ms] : known) {
      if (key != name) continue;
      if (auto refusal = take_setting(member, key, *setting_ms)) return refusal;
    }
  }
  return std::nullopt;
}

/// Puts an entry together from the keys of its line, in whatever order they come.
class EntryLine {
 public:
  EntryLine(std::size_t source_count, std::uint8_t* space, std::string& mark, Entry& entry)
      : source_count_(source_count), space_(space), mark_(mark), entry_(entry) {}

  Answer take(std::string_view key, element value);
  Answer finish();

 private:
  Answer take_kind(std::string_view key, element value);
  Answer begin(std::string_view key, Entry::Kind kind);
  Answer take_time(element value);
  Answer take_direction(element value);
  Answer take_bytes(element value);
  Answer take_mark(element value);
  Answer take_end(element value);
  Answer take_lost(element value);
  Answer take_source(std::string_view key, element value, std::uint16_t& src);

  std::size_t source_count_;
  std::uint8_t* space_;
  std::string& mark_;
  Entry& entry_;
  std::uint16_t src_ = 0;
  bool timed_ = false;
  bool kind_known_ = false;
};

Answer EntryLine::take(std::string_view key, element value) {
  if (key == "t") return take_time(value);
  if (key == "src") return take_source(key, value, src_);
  if (key == "dir") return take_direction(value);
  return take_kind(key, value);
}

Answer EntryLine::take_kind(std::string_view key, element value) {
  using Kind = Entry::Kind;
  static constexpr std::pair<std::string_view, Kind> kinds[] = {
      {"hex", Kind::chunk}, {"mark", Kind::mark}, {"lost", Kind::lost},
      {"gone", Kind::gone}, {"back", Kind::back}, {"settings", Kind::settings},
      {"end", Kind::end}};
  for (const auto& [name, kind] : kinds) {
    if (key != name) continue;
    if (auto refusal = begin(key, kind)) return refusal;
    switch (kind) {
      case Kind::chunk:
        return take_bytes(value);
      case Kind::mark:
        return take_mark(value);
      case Kind::lost:
        return take_lost(value);
      case Kind::gone:
      case Kind::back:
        return take_source(key, value, entry_.src);
      case Kind::settings:
        return take_settings(value, entry_.settings);
      case Kind::end:
        return take_end(value);
    }
  }
  return std::nullopt;  // a key of a later version or of another tool
}

Answer EntryLine::begin(std::string_view key, Entry::Kind kind) {
  if (kind_known_ && entry_.kind != kind) {
    return bad_line(quoted(key) + " stands in the line of another entry");
  }
  kind_known_ = true;
  entry_.kind = kind;
  return std::nullopt;
}

Answer EntryLine::take_time(element value) {
  timed_ = true;
  if (take_whole(value, latest_ns, entry_.t_ns)) return std::nullopt;
  return bad_line("\"t\" is not a whole number of nanoseconds from 0 to " +
                  std::to_string(latest_ns));
}

Answer EntryLine::take_source(std::string_view key, element value, std::uint16_t& src) {
  std::int64_t number = 0;
  if (!take_whole(value, static_cast<std::int64_t>(source_count_) - 1, number)) {
    return bad_line(quoted(key) + " is not the index of a source from 0 to " +
                    std::to_string(source_count_ - 1));
  }
  src = static_cast<std::uint16_t>(number);
  return std::nullopt;
}

Answer EntryLine::take_direction(element value) {
  std::string_view text;
  if (!take_text(value, text) || (text != "out" && text != "in")) {
    return bad_line(R"("dir" is neither "out" nor "in")");
  }
  entry_.out = text == "out";
  return std::nullopt;
}

Answer EntryLine::take_bytes(element value) {
  std::string_view text;
  if (!take_text(value, text)) return bad_line("\"hex\" is not a text");
  return take_hex(text, space_, entry_);
}

Answer EntryLine::take_mark(element value) {
  std::string_view text;
  if (!take_text(value, text)) return bad_line("\"mark\" is not a text");
  mark_ = clean_label(text);
  entry_.text = mark_;
  return std::nullopt;
}

Answer EntryLine::take_lost(element value) {
  if (take_whole(value, latest_ns, entry_.lost)) return std::nullopt;
  return bad_line("\"lost\" is not a whole number from 0 on");
}

Answer EntryLine::take_end(element value) {
  bool is_end = false;
  if (value.get_bool().get(is_end) == simdjson::SUCCESS && is_end) return std::nullopt;
  return bad_line("\"end\" is not true");
}

Answer EntryLine::finish() {
  if (!timed_) return bad_line("the line has no \"t\"");
  if (!kind_known_) {
    return bad_line("the line has none of hex, mark, lost, gone, back, settings, end");
  }
  const bool of_a_source = entry_.kind == Entry::Kind::chunk || entry_.kind == Entry::Kind::lost;
  if (of_a_source) entry_.src = src_;
  if (entry_.kind != Entry::Kind::chunk) entry_.out = false;
  return std::nullopt;
}

/// Reads what a source says of itself over what was known before.
Answer take_source_info(object members, SourceInfo& source) {
  for (const auto& [key, value] : members) {
    std::string_view text;
    std::int64_t number = 0;
    if (key == "source" || key == "name") {
      if (!take_text(value, text)) return bad_header(quoted(key) + " is not a text");
      source.name = clean_label(text);
    } else if (key == "raw" || key == "simulated") {
      bool& flag = key == "raw" ? source.raw : source.simulated;
      if (value.get_bool().get(flag) != simdjson::SUCCESS) {
        return bad_header(quoted(key) + " is neither true nor false");
      }
    } else if (key == "timing") {
      const auto grade = take_text(value, text) ? grade_by_text(text) : std::nullopt;
      if (!grade) return bad_header("\"timing\" is none of wire, byte, message, batched, none");
      source.timing = *grade;
    } else if (key == "resolution_ns" && !value.is_null()) {
      if (!take_whole(value, latest_ns, number)) {
        return bad_header("\"resolution_ns\" is not a whole number from 0 on");
      }
      source.resolution_ns = number;
    }
  }
  return std::nullopt;
}

Answer take_sources(element value, const SourceInfo& shared, InputHeader& header) {
  simdjson::dom::array list;
  if (value.get_array().get(list) != simdjson::SUCCESS) {
    return bad_header("\"sources\" is not a list");
  }
  if (list.size() == 0) return bad_header("\"sources\" is an empty list");
  if (list.size() > limits::sources) return bad_header("\"sources\" lists more than 64 sources");
  for (const auto item : list) {
    SourceInfo source = shared;
    object members;
    if (item.get_object().get(members) != simdjson::SUCCESS) {
      return bad_header("\"sources\" holds something other than objects");
    }
    if (auto refusal = take_source_info(members, source)) return refusal;
    header.sources.push_back(std::move(source));
  }
  return std::nullopt;
}

Answer take_gone(element value, std::size_t source_count, Carried& carried) {
  simdjson::dom::array list;
  std::int64_t number = 0;
  const auto refusal = bad_header("\"gone\" is not a list of sources");
  if (value.get_array().get(list) != simdjson::SUCCESS) return refusal;
  for (const auto item : list) {
    if (!take_whole(item, static_cast<std::int64_t>(source_count) - 1, number)) return refusal;
    carried.gone.push_back(static_cast<std::uint16_t>(number));
  }
  return std::nullopt;
}

Answer take_open(element value, std::size_t source_count, Carried& carried) {
  simdjson::dom::array list;
  const auto refusal = bad_header("\"open\" is not a list of a few bytes a source");
  if (value.get_array().get(list) != simdjson::SUCCESS || list.size() > source_count) {
    return refusal;
  }
  for (const auto item : list) {
    std::string_view text;
    std::uint8_t bytes[carried_open_bytes];
    Entry entry;
    if (!take_text(item, text) || text.size() > 2 * sizeof bytes || take_hex(text, bytes, entry)) {
      return refusal;
    }
    carried.open.emplace_back(entry.bytes.begin(), entry.bytes.end());
  }
  return std::nullopt;
}

/// What a segment of the spool carries over from the one before.
Answer take_carried(element value, InputHeader& header) {
  object members;
  if (value.get_object().get(members) != simdjson::SUCCESS) {
    return bad_header("\"carried\" is not an object");
  }
  auto& carried = header.carried.emplace();
  for (const auto& [key, member] : members) {
    Answer refusal;
    if (key == "settings") refusal = take_settings(member, carried.settings);
    if (key == "gone") refusal = take_gone(member, header.sources.size(), carried);
    if (key == "open") refusal = take_open(member, header.sources.size(), carried);
    if (refusal) return refusal;
  }
  return std::nullopt;
}

Answer check_version(object members) {
  std::string_view text;
  std::int64_t version = 0;
  if (members["strumwright"].get_string().get(text) != simdjson::SUCCESS || text != "capture") {
    return bad_header("the first line is not the header of a capture");
  }
  if (members["version"].get_int64().get(version) != simdjson::SUCCESS || version < 1) {
    return bad_header("the header has no version number");
  }
  if (version > 1) {
    return Refusal{"the capture has format version " + std::to_string(version) +
                       ", and this program reads version 1",
                   "use a newer version of this program"};
  }
  return std::nullopt;
}

Refusal not_json(simdjson::error_code error, std::string_view text) {
  if (error == simdjson::MEMALLOC) return {"there is not enough memory", "close other programs"};
  if (error == simdjson::DEPTH_ERROR) return bad_line("the line is nested too deep");
  // A number of more than 64 bits is JSON, but not for the library. In a line that was cut off, a
  // bad number stands at the cut.
  if (error == simdjson::NUMBER_ERROR && text.find_last_not_of(" \t\r") == text.rfind('}')) {
    return bad_line("the line holds a number that cannot be read");
  }
  auto refusal = bad_line("the line is not valid JSON");
  refusal.not_json = true;
  return refusal;
}

}  // namespace

struct CaptureJson::Impl {
  simdjson::dom::parser parser;
  simdjson::error_code ready = parser.allocate(4096, limits::json_depth);
  std::string mark;

  Answer parse(std::string_view text, object& members) {
    if (ready != simdjson::SUCCESS) return not_json(ready, text);
    element root;
    const auto error = parser.parse(text.data(), text.size(), false).get(root);
    if (error != simdjson::SUCCESS) return not_json(error, text);
    if (root.get_object().get(members) == simdjson::SUCCESS) return std::nullopt;
    return bad_line("the line is not a JSON object");
  }
};

CaptureJson::CaptureJson() : impl_(std::make_unique<Impl>()) {}
CaptureJson::~CaptureJson() = default;

Answer CaptureJson::read_header(std::string_view line, const std::string& fallback_name,
                                InputHeader& header) {
  object members;
  if (auto refusal = impl_->parse(line, members)) return refusal;
  if (auto refusal = check_version(members)) return refusal;
  SourceInfo shared;
  shared.name = fallback_name;
  if (auto refusal = take_source_info(members, shared)) return refusal;
  std::string_view started;
  if (members["started"].get_string().get(started) == simdjson::SUCCESS) {
    header.started = clean_label(started);
  }
  element list;
  if (members["sources"].get(list) != simdjson::SUCCESS) {
    header.sources.push_back(std::move(shared));
  } else if (auto refusal = take_sources(list, shared, header)) {
    return refusal;
  }
  element carried;
  if (members["carried"].get(carried) != simdjson::SUCCESS) return std::nullopt;
  return take_carried(carried, header);
}

Answer CaptureJson::read_entry(std::string_view line, std::size_t source_count, std::uint8_t* space,
                               Entry& entry) {
  object members;
  if (auto refusal = impl_->parse(line, members)) return refusal;
  EntryLine parts(source_count, space, impl_->mark, entry);
  for (const auto& [key, value] : members) {
    if (auto refusal = parts.take(key, value)) return refusal;
  }
  return parts.finish();
}

}  // namespace strumwright::session
