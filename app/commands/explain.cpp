// app/commands/explain.cpp
#include <algorithm>
#include <ostream>

#include "app/commands/rows.h"
#include "core/diagnosis/rule.h"
#include "core/diagnosis/symptoms.h"

namespace strumwright::commands {
namespace {

struct Options {
  std::string rule;  // empty: all
  bool symptoms = false;
};

const char* needs_text(diagnosis::Needs needs) {
  switch (needs) {
    case diagnosis::Needs::nothing:
      return "";
    case diagnosis::Needs::raw_source:
      return "Seen only where the bytes are raw: a serial line, a raw MIDI device file, a dump.";
    case diagnosis::Needs::times:
      return "Judged only where the times can be trusted.";
    case diagnosis::Needs::instrument:
      return "Judged only with an instrument description.";
    case diagnosis::Needs::line_recording:
      return "Judged only on a recording of the line itself, which this version cannot read yet.";
  }
  return "";
}

void print_rule(const diagnosis::RuleText& rule, std::ostream& out) {
  out << rule.name << " (" << diagnosis::to_text(rule.severity) << "): " << rule.title << "\n\n";
  out << rule.meaning << "\n\nLikely causes\n";
  for (const char* cause : rule.causes) out << "  - " << cause << '\n';
  out << "\nDo this next\n  " << rule.next << '\n';
  const std::string needs = needs_text(rule.needs);
  if (!needs.empty()) out << '\n' << needs << '\n';
}

Exit list_rules(std::ostream& out) {
  std::size_t width = 0;
  for (const auto& rule : diagnosis::catalogue()) {
    width = std::max(width, std::string_view(rule.name).size());
  }
  for (const auto& rule : diagnosis::catalogue()) {
    const std::string name = rule.name;
    const std::string severity = diagnosis::to_text(rule.severity);
    out << name << std::string(width - name.size() + 2, ' ') << severity
        << std::string(9 - severity.size(), ' ') << rule.title << '\n';
  }
  out << "\n`strumwright explain note.stuck` says what one means, why it happens, what to do.\n";
  return Exit::fine;
}

/// From what a maker complains of to the findings that answer it.
Exit list_symptoms(std::ostream& out) {
  for (const auto& symptom : diagnosis::symptoms()) {
    out << symptom.complaint << '\n';
    for (const auto rule : symptom.rules) out << "  " << diagnosis::text_of(rule).name << '\n';
    if (symptom.limit != nullptr) out << "  " << symptom.limit << '\n';
  }
  out << "\n`strumwright explain RULE` says what each means and what to do.\n";
  return Exit::fine;
}

Exit run(const Options& options, Streams& io) {
  if (options.symptoms) return list_symptoms(io.out);
  if (options.rule.empty()) return list_rules(io.out);
  const auto* rule = diagnosis::find_rule(options.rule);
  if (rule == nullptr) {
    return usage(io.err,
                 "no rule '" + printable(options.rule) + "'; `strumwright explain` lists them");
  }
  print_rule(*rule, io.out);
  return Exit::fine;
}

}  // namespace

Command explain_command() {
  return command<Options>("explain", "What a finding means, likely causes, what to do",
                          "Examples:\n"
                          "  strumwright explain               every rule, a line each\n"
                          "  strumwright explain note.stuck    one rule in full\n"
                          "  strumwright explain --symptoms    from what goes wrong to the rules",
                          {parameter("RULE", &Options::rule, "for instance note.stuck"),
                           parameter("--symptoms", &Options::symptoms,
                                     "what makers complain of, and which findings answer it")},
                          run);
}

}  // namespace strumwright::commands
