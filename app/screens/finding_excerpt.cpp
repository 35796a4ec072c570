// app/screens/finding_excerpt.cpp
#include "app/screens/finding_excerpt.h"

#include <algorithm>
#include <vector>

#include "app/engine/history.h"
#include "app/screens/parts/figures.h"
#include "app/screens/parts/outside_text.h"
#include "app/screens/parts/time_axis.h"
#include "core/diagnosis/figures.h"
#include "core/diagnosis/finding_text.h"
#include "core/diagnosis/rule.h"

namespace strumwright::screens {

namespace {

/// A silence from here on begins a new line (ours).
constexpr std::int64_t line_gap_ns = 1'200'000;
/// Bytes further away than this do not belong to the finding (ours).
constexpr std::int64_t around_ns = 500'000'000;

std::vector<engine::WireByte> bytes_around(const Snapshot& snapshot, std::int64_t at_ns,
                                           std::uint16_t src) {
  const auto view = snapshot.history.bytes.view();
  std::vector<engine::WireByte> before;
  std::vector<engine::WireByte> after;
  for (auto i = view.at_or_after(at_ns - around_ns); i < view.end(); ++i) {
    const auto& byte = view[i];
    if (byte.t_ns > at_ns + around_ns || after.size() == excerpt_bytes) break;
    if (byte.src() != src || byte.out()) continue;
    (byte.t_ns < at_ns ? before : after).push_back(byte);
  }
  if (before.size() > excerpt_bytes) {
    before.erase(before.begin(), before.end() - static_cast<std::ptrdiff_t>(excerpt_bytes));
  }
  before.insert(before.end(), after.begin(), after.end());
  return before;
}

/// "  -12.480 ms  90 2B 50"; the line that begins at the finding has ">".
std::string line_head(std::int64_t t_ns, std::int64_t at_ns) {
  const std::int64_t from_ns = t_ns - at_ns;
  const std::int64_t size_ns = from_ns < 0 ? -from_ns : from_ns;
  auto text = std::to_string(size_ns / 1'000'000) + ".";
  auto part = std::to_string(size_ns / 1'000 % 1'000);
  part.insert(0, 3 - part.size(), '0');
  text = (from_ns < 0 ? "-" : "+") + text + part;
  text.insert(0, text.size() < 9 ? 9 - text.size() : 0, ' ');
  return (from_ns == 0 ? "> " : "  ") + text + " ms ";
}

std::string bytes_text(const Snapshot& snapshot, std::int64_t at_ns, std::uint16_t src) {
  std::string text;
  std::int64_t last_ns = 0;
  for (const auto& byte : bytes_around(snapshot, at_ns, src)) {
    const bool new_line = text.empty() || byte.t_ns - last_ns > line_gap_ns || byte.t_ns == at_ns;
    if (new_line) text += (text.empty() ? "" : "\n") + line_head(byte.t_ns, at_ns);
    text += " " + diagnosis::hex_text(byte.value());
    last_ns = byte.t_ns;
  }
  return text.empty() ? "  (no longer held)" : text;
}

}  // namespace

std::string finding_excerpt(const Snapshot& snapshot, const diagnosis::Finding& finding) {
  const auto& rule = diagnosis::text_of(finding.rule);
  const auto when = tick_text(finding.t_ns, 3);
  std::string text = std::string(rule.name) + " (" + diagnosis::to_text(finding.severity) +
                     ") at " + when + "\n" + diagnosis::text_of(finding) + "\n";
  text += "Source: " + outside_text(snapshot.now.source_name.view()) + "\n";
  if (!rule.causes.empty()) text += std::string("Likely cause: ") + rule.causes.front() + "\n";
  text += std::string("Do this: ") + rule.next + "\n";
  text += "Bytes around " + when + ":\n" + bytes_text(snapshot, finding.t_ns, finding.src) + "\n";
  if (finding.other && finding.other_ns > 0) {
    text += "Bytes around " + tick_text(finding.other_ns, 3) + ", where the other note started:\n" +
            bytes_text(snapshot, finding.other_ns, finding.src) + "\n";
  }
  return text;
}

}  // namespace strumwright::screens
