// app/commands/name.cpp
#include <istream>
#include <ostream>
#include <span>
#include <sstream>

#include "app/commands/rows.h"
#include "app/io/files.h"
#include "core/harmony/chord_kind.h"
#include "core/harmony/chord_name.h"
#include "core/harmony/note_parse.h"
#include "core/limits.h"
#include "core/publish/json_writer.h"

namespace strumwright::commands {
namespace {

using harmony::ChordName;
using Notes = std::vector<std::uint8_t>;

struct Options {
  std::vector<std::string> notes;
  bool json = false;
};

Result<Notes> parse(const std::vector<std::string>& words) {
  Notes notes;
  for (const auto& word : words) {
    const auto note = harmony::parse_note(word);
    if (!note) return note.error();
    notes.push_back(*note);
  }
  return notes;
}

void write_json(const Notes& notes, const ChordName& chord, std::string& text) {
  publish::JsonWriter json(text);
  json.begin_object();
  json.key("notes");
  json.begin_array();
  for (const auto note : notes) json.value(note);
  json.end_array();
  const auto named = [&](const char* key, const std::string& value) {
    json.member(key, chord.named ? std::optional(value) : std::nullopt);
  };
  const auto& best = chord.best;
  named("name", harmony::to_text(best));
  named("root", harmony::pitch_class_text(best.root));
  named("quality", harmony::chord_kinds()[best.kind].quality);
  json.key("bass");
  if (chord.named && best.bass != best.root) {
    json.value(harmony::pitch_class_text(best.bass));
  } else {
    json.null();
  }
  json.key("others");
  json.begin_array();
  for (const auto& other : std::span(chord.others).first(chord.other_count)) {
    json.value(harmony::to_text(other));
  }
  json.end_array();
  json.key("foreign");
  json.begin_array();
  if (chord.foreign_note) json.value(*chord.foreign_note);
  json.end_array();
  json.end_object();
  text += '\n';
}

void write_words(const ChordName& chord, std::string& text) {
  if (!chord.named) {
    text += "no name: these tones are those of no chord kind\n";
    return;
  }
  text += harmony::to_text(chord.best) + "  " + harmony::chord_kinds()[chord.best.kind].words;
  if (chord.foreign_note) {
    text += ", without the foreign " + harmony::note_text(*chord.foreign_note);
  }
  for (std::size_t i = 0; i < chord.other_count; ++i) {
    text += (i == 0 ? "; also " : ", ") + harmony::to_text(chord.others[i]);
  }
  text += '\n';
}

void write_one(const Notes& notes, bool json, std::string& text) {
  const auto chord = harmony::name_chord(notes);
  if (json) {
    write_json(notes, chord, text);
  } else {
    write_words(chord, text);
  }
}

/// A set a line. The answers wait in a store, so that a bad line leaves nothing half said.
Exit name_lines(const Options& options, Streams& io) {
  io::TempStore store;
  std::string line;
  for (std::uint64_t number = 1; std::getline(io.in, line); ++number) {
    std::istringstream words(line);
    std::vector<std::string> list;
    for (std::string word; words >> word;) list.push_back(word);
    if (list.empty()) continue;
    const auto notes = parse(list);
    if (!notes) {
      auto error = notes.error();
      error.where = "stdin, line " + std::to_string(number) + ", " + printable(error.where);
      return fail(io.err, error, Exit::usage);
    }
    std::string text;
    write_one(*notes, options.json, text);
    if (auto kept = store.append(text); !kept) return fail(io.err, kept.error(), Exit::output);
  }
  if (io.in.bad()) return fail(io.err, io::unreadable_stream(), Exit::usage);
  io::StreamSink sink(io.out, "stdout");
  if (auto done = store.copy_to(sink); !done) return fail(io.err, done.error(), Exit::output);
  return Exit::fine;
}

Exit run(const Options& options, Streams& io) {
  if (options.notes.size() == 1 && options.notes.front() == "-") return name_lines(options, io);
  const auto notes = parse(options.notes);
  if (!notes) {
    auto error = notes.error();
    error.where = printable(error.where);
    return fail(io.err, error, Exit::usage);
  }
  std::string text;
  write_one(*notes, options.json, text);
  io.out << text;
  return Exit::fine;
}

}  // namespace

Command name_command() {
  return command<Options>(
      "name", "Name chords from notes; the lowest note is the bass",
      "Examples:\n"
      "  strumwright name C4 E4 G4 Bb4      C7  dominant seventh\n"
      "  strumwright name 60 64 67 69       C6  major sixth; also Am7/C\n"
      "  strumwright name - --json          a set a line from stdin, a JSON line each\n"
      "Notes are MIDI numbers or names; 60 is C4.",
      {required("NOTE", &Options::notes, "MIDI numbers or note names, or - for a set a line"),
       parameter("--json", &Options::json, "one JSON document (with -, a JSON line a set)")},
      run);
}

}  // namespace strumwright::commands
