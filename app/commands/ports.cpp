// app/commands/ports.cpp
#include <ostream>

#include "app/commands/rows.h"
#include "app/io/port_list.h"
#include "core/publish/json_writer.h"

namespace strumwright::commands {
namespace {

using publish::JsonWriter;

struct Options {
  bool json = false;
};

void write_ports(const char* key, const std::vector<io::MidiPort>& ports, JsonWriter& json) {
  json.key(key);
  json.begin_array();
  for (const auto& port : ports) {
    json.begin_object();
    json.member("name", port.name);
    json.member("api", port.api);
    json.member("raw", port.raw);
    json.end_object();
  }
  json.end_array();
}

void write_names(const char* key, const std::vector<std::string>& names, JsonWriter& json) {
  json.key(key);
  json.begin_array();
  for (const auto& name : names) json.value(name);
  json.end_array();
}

std::string to_json(const io::PortList& list) {
  std::string text;
  JsonWriter json(text);
  json.begin_object();
  write_ports("midi_in", list.midi_in, json);
  write_ports("midi_out", list.midi_out, json);
  json.key("serial");
  json.begin_array();
  for (const auto& line : list.serial) {
    json.begin_object();
    json.member("device", line.device);
    json.member("text", line.text);
    json.end_object();
  }
  json.end_array();
  write_names("raw", list.raw, json);
  write_names("audio_out", list.audio_out, json);
  json.key("missing");
  json.begin_array();
  for (const auto& missing : list.missing) {
    json.begin_object();
    json.member("service", missing.service);
    json.member("start", missing.start);
    json.end_object();
  }
  json.end_array();
  json.end_object();
  return text + '\n';
}

void print_section(const char* title, const std::vector<std::string>& lines, std::ostream& out) {
  out << title << '\n';
  for (const auto& line : lines) out << "  " << printable(line) << '\n';
  if (lines.empty()) out << "  none\n";
}

std::vector<std::string> lines_of(const std::vector<io::MidiPort>& ports) {
  std::vector<std::string> lines;
  lines.reserve(ports.size());
  for (const auto& port : ports) lines.push_back(port.name + "  (" + port.api + ")");
  return lines;
}

void print(const io::PortList& list, std::ostream& out) {
  print_section("MIDI inputs", lines_of(list.midi_in), out);
  print_section("MIDI outputs", lines_of(list.midi_out), out);
  std::vector<std::string> serial;
  for (const auto& line : list.serial) serial.push_back(line.device + "  " + line.text);
  print_section("Serial lines", serial, out);
  print_section("Raw MIDI device files", list.raw, out);
  print_section("Audio outputs", list.audio_out, out);
  for (const auto& missing : list.missing) {
    out << "Missing: " << missing.service << ". " << missing.start << '\n';
  }
}

Exit run(const Options& options, Streams& io) {
  const auto list = io::list_ports();
  if (options.json) {
    io.out << to_json(list);
  } else {
    print(list, io.out);
  }
  return Exit::fine;
}

}  // namespace

Command ports_command() {
  return command<Options>("ports", "List what can be listened to, and what is missing",
                          "Examples:\n"
                          "  strumwright ports\n"
                          "  strumwright ports --json",
                          {parameter("--json", &Options::json, "one JSON document")}, run);
}

}  // namespace strumwright::commands
