// core/session/capture_writer.cpp
#include "core/session/capture_writer.h"

#include <array>
#include <charconv>
#include <span>
#include <string_view>

#include "core/midi/status.h"
#include "core/session/label.h"

namespace strumwright::session {
namespace {

void append_number(auto number, std::string& text) {
  std::array<char, 32> digits{};
  const auto end = std::to_chars(digits.begin(), digits.end(), number).ptr;
  text.append(digits.begin(), end);
}

void append_hex(std::span<const std::uint8_t> bytes, std::string& text) {
  static constexpr std::string_view digits = "0123456789abcdef";
  for (const auto byte : bytes) {
    text += digits[byte >> 4U];
    text += digits[byte & 0xFU];
  }
}

void append_escaped(char character, std::string& text) {
  if (character == '"' || character == '\\') {
    text += '\\';
    text += character;
  } else {
    const auto byte = static_cast<std::uint8_t>(character);
    text += "\\u00";
    append_hex({&byte, 1}, text);
  }
}

/// A JSON string (RFC 8259, section 7); what is not UTF-8 as U+FFFD.
void append_text(std::string_view from, std::string& text) {
  text += '"';
  while (!from.empty()) {
    const auto character = first_character(from);
    if (!character.well_formed) {
      text += replacement_character;
    } else if (character.code < 0x20 || from[0] == '"' || from[0] == '\\') {
      append_escaped(from[0], text);
    } else {
      text += from.substr(0, character.bytes);
    }
    from.remove_prefix(character.bytes);
  }
  text += '"';
}

void append_source(const SourceInfo& source, std::string& text) {
  text += "\"source\":";
  append_text(source.name, text);
  text += source.raw ? ",\"raw\":true" : ",\"raw\":false";
  text += ",\"timing\":\"";
  text += wire::to_text(source.timing);
  text += '"';
  if (source.resolution_ns) {
    text += ",\"resolution_ns\":";
    append_number(*source.resolution_ns, text);
  }
  if (source.simulated) text += ",\"simulated\":true";
}

void append_sources(const std::vector<SourceInfo>& sources, std::string& text) {
  text += "\"sources\":[";
  for (std::size_t i = 0; i < sources.size(); ++i) {
    text += i == 0 ? "{" : ",{";
    append_source(sources[i], text);
    text += '}';
  }
  text += ']';
}

void append_settings(const Settings& settings, std::string& text) {
  text += "\"settings\":{\"strum_gap_ms\":";
  append_number(settings.strum_gap_ms, text);
  text += ",\"refractory_ms\":";
  append_number(settings.refractory_ms, text);
  text += ",\"hold_limit_ms\":";
  append_number(settings.hold_limit_ms, text);
  text += '}';
}

void append_carried(const Carried& carried, std::string& text) {
  text += ",\"carried\":{";
  append_settings(carried.settings, text);
  text += ",\"gone\":[";
  for (std::size_t i = 0; i < carried.gone.size(); ++i) {
    if (i > 0) text += ',';
    append_number(carried.gone[i], text);
  }
  text += "],\"open\":[";
  for (std::size_t i = 0; i < carried.open.size(); ++i) {
    text += i == 0 ? "\"" : ",\"";
    append_hex(carried.open[i], text);
    text += '"';
  }
  text += "]}";
}

void append_time(std::int64_t t_ns, std::string& text) {
  text += "{\"t\":";
  append_number(t_ns, text);
  text += ',';
}

void append_src(std::uint16_t src, std::string& text) {
  if (src == 0) return;
  text += ",\"src\":";
  append_number(src, text);
}

void append_chunk_line(const Entry& entry, std::string& text) {
  append_time(entry.t_ns, text);
  text += "\"hex\":\"";
  append_hex(entry.bytes, text);
  text += '"';
  append_src(entry.src, text);
  text += entry.out ? ",\"dir\":\"out\"}\n" : "}\n";
}

void append_chunk(Entry entry, std::string& text) {
  while (entry.bytes.size() > line_chunk_bytes) {
    Entry part = entry;
    part.bytes = entry.bytes.first(line_chunk_bytes);
    append_chunk_line(part, text);
    entry.bytes = entry.bytes.subspan(line_chunk_bytes);
    entry.t_ns += static_cast<std::int64_t>(line_chunk_bytes) * midi::byte_ns;
  }
  append_chunk_line(entry, text);
}

void append_other(const Entry& entry, std::string& text) {
  switch (entry.kind) {
    case Entry::Kind::chunk:
      break;  // has its own function
    case Entry::Kind::mark:
      text += "\"mark\":";
      append_text(entry.text, text);
      break;
    case Entry::Kind::lost:
      text += "\"lost\":";
      append_number(entry.lost, text);
      append_src(entry.src, text);
      break;
    case Entry::Kind::gone:
    case Entry::Kind::back:
      text += entry.kind == Entry::Kind::gone ? "\"gone\":" : "\"back\":";
      append_number(entry.src, text);
      break;
    case Entry::Kind::settings:
      append_settings(entry.settings, text);
      break;
    case Entry::Kind::end:
      text += "\"end\":true";
      break;
  }
}

}  // namespace

std::string header_line(const InputHeader& header) {
  std::string text = "{\"strumwright\":\"capture\",\"version\":1,";
  if (header.sources.size() == 1) {
    append_source(header.sources[0], text);
  } else {
    append_sources(header.sources, text);
  }
  if (!header.started.empty()) {
    text += ",\"started\":";
    append_text(header.started, text);
  }
  if (header.carried) append_carried(*header.carried, text);
  text += "}\n";
  return text;
}

void append_line(const Entry& entry, std::string& text) {
  if (entry.kind == Entry::Kind::chunk) return append_chunk(entry, text);
  append_time(entry.t_ns, text);
  append_other(entry, text);
  text += "}\n";
}

}  // namespace strumwright::session
