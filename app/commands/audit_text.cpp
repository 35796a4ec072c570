// app/commands/audit_text.cpp
#include "app/commands/audit_text.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <map>

#include "app/commands/rows.h"
#include "core/diagnosis/finding_text.h"

namespace strumwright::commands {
namespace {

using diagnosis::Severity;

std::string fixed(double number, int decimals) {
  std::array<char, 48> text{};
  const auto end = std::to_chars(text.data(), text.data() + text.size(), number,
                                 std::chars_format::fixed, decimals)
                       .ptr;
  return {text.data(), end};
}

std::string percent(double share) { return fixed(share * 100.0, 0) + " %"; }

/// "1 error", "2 errors"
std::string counted(std::uint64_t number, const char* thing) {
  return grouped(number) + ' ' + thing + (number == 1 ? "" : "s");
}

std::string padded(std::string text, std::size_t width) {
  if (text.size() < width) text.append(width - text.size(), ' ');
  return text;
}

void add_source(const pipeline::Pipeline& pipeline, std::size_t src, std::string& text) {
  const auto& info = pipeline.source(src);
  const auto state = pipeline.state(src);
  text += "  " + printable(info.name) + ": " + (info.raw ? "raw bytes" : "whole messages") +
          ", timing " + wire::to_text(state.grade) + ", " + grouped(state.counts.bytes) +
          " bytes, " + grouped(state.counts.messages) + " messages\n";
  text += "  running status: ";
  if (info.raw) {
    text += "used in " + grouped(state.counts.running_used) + " of " +
            grouped(state.counts.running_possible) + " messages that could\n";
  } else {
    text += "cannot be seen in whole messages; a raw source shows it (" +
            grouped(state.counts.running_possible) + " could)\n";
  }
  text += "  notes: " + grouped(state.note_starts) + " started, " + grouped(state.note_releases) +
          " releases (" + grouped(state.zero_velocity_releases) + " by velocity zero), " +
          grouped(state.held.size()) + " down at the end\n";
  if (state.load_mean && state.load_peak) {
    text += "  line load: mean " + percent(*state.load_mean) + ", peak " +
            percent(*state.load_peak) + (info.raw ? "\n" : " (as if each message came whole)\n");
  }
}

void add_findings(const publish::FindingList& list, std::string& text) {
  const auto& counts = list.counts();
  text += "\nFindings: " + counted(counts.error, "error") + ", " +
          counted(counts.warning, "warning") + ", " + grouped(counts.info) + " info\n";
  for (const auto& finding : list.in_order()) text.append(finding_line(finding)).append("\n");
  if (list.left_out() > 0) {
    text += "  and " + grouped(list.left_out()) + " more of these kinds, counted but not listed\n";
  }
}

void add_not_judged(const pipeline::Pipeline& pipeline, std::string& text) {
  std::map<std::string, std::string> rules_by_reason;
  for (const auto& [rule, why] : pipeline.not_judged()) {
    auto& rules = rules_by_reason[why];
    rules += (rules.empty() ? "" : ", ") + std::string(diagnosis::text_of(rule).name);
  }
  if (rules_by_reason.empty()) return;
  text += "\nNot judged\n";
  for (const auto& [why, rules] : rules_by_reason) {
    text.append("  ").append(why).append(": ").append(rules).append("\n");
  }
}

}  // namespace

std::string grouped(std::uint64_t number) {
  std::string text = std::to_string(number);
  for (std::size_t at = text.size(); at > 3; at -= 3) text.insert(at - 3, ",");
  return text;
}

std::string clock_text(std::int64_t t_ns) {
  const std::int64_t tenths = t_ns / 100'000'000;
  const std::string minutes = std::to_string(tenths / 600);
  const std::string seconds = std::to_string(tenths / 10 % 60);
  return (minutes.size() < 2 ? "0" : "") + minutes + (seconds.size() < 2 ? ":0" : ":") + seconds +
         "." + std::to_string(tenths % 10);
}

std::string strum_line(const pipeline::JudgedStroke& judged) {
  const auto& stroke = judged.stroke;
  const bool timed = wire::can_time(judged.grade);
  std::string text = clock_text(stroke.start_ns) + "  strum    ";
  text += padded(strum::to_text(stroke.direction), 6) + std::to_string(stroke.steps) + " notes  ";
  text += padded(judged.chord.named ? harmony::to_text(judged.chord.best) : "no name", 12) + "  ";
  if (timed) text += fixed(static_cast<double>(stroke.span_ns) / 1e6, 1) + " ms";
  if (timed && stroke.evenness) text += "  even " + percent(*stroke.evenness);
  if (timed && stroke.wire_limited) text += "  as fast as the wire";
  return text;
}

std::string chord_line(const pipeline::ChordChange& change) {
  return clock_text(change.t_ns) + "  chord    " + harmony::to_text(change.chord.best);
}

std::string finding_line(const diagnosis::Finding& finding) {
  return clock_text(finding.t_ns) + "  " + padded(diagnosis::to_text(finding.severity), 9) +
         padded(diagnosis::text_of(finding.rule).name, 22) + diagnosis::text_of(finding);
}

void TextCollector::stroke(const pipeline::JudgedStroke& judged) {
  AuditCollector::stroke(judged);
  if (lines_ == nullptr || !judged.stroke.is_strum()) return;
  keep(*lines_, strum_line(judged) + '\n');
}

void TextCollector::chord(const pipeline::ChordChange& change) {
  AuditCollector::chord(change);
  if (lines_ != nullptr) keep(*lines_, chord_line(change) + '\n');
}

std::string audit_text(const publish::AuditInput& input, const pipeline::Pipeline& pipeline,
                       const publish::AuditCollector& collector) {
  std::string text = printable(input.path) + " (" + session::to_text(input.kind) + ")";
  if (const auto duration_ns = pipeline.duration_ns()) {
    text += ", " + fixed(static_cast<double>(*duration_ns) / 1e9, 3) + " s";
  } else {
    text += ", without times";
  }
  if (input.interrupted) text += ", interrupted";
  text += '\n';
  for (std::size_t src = 0; src < pipeline.source_count(); ++src) add_source(pipeline, src, text);
  const bool timed = pipeline.duration_ns().has_value() || collector.strum_count() > 0;
  text += timed ? "  strums: " + grouped(collector.strum_count()) + "\n"
                : "  strums: not judged without times\n";
  add_findings(collector.findings(), text);
  add_not_judged(pipeline, text);
  return text;
}

}  // namespace strumwright::commands
