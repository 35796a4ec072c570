// core/session/text_choice.cpp
#include "core/session/text_choice.h"

#include <algorithm>
#include <optional>
#include <tuple>
#include <utility>
#include <vector>

#include "core/midi/status.h"

namespace strumwright::session {
namespace {

/// A reading of the first lines, as far as it goes.
struct Attempt {
  TextReading reading;
  std::vector<TextLine> lines;
  std::optional<TextProblem> problem;  ///< of the line behind those
};

std::optional<TextProblem> misfit(const SampleLine& line, const Attempt& before,
                                  const TextLine& read) {
  const auto time = before.reading.time;
  if (time == TextTime::none) return std::nullopt;
  if (read.bytes.empty()) return TextProblem{"no byte stands behind the time", 1};
  if (!before.lines.empty() && read.t_ns < before.lines.back().t_ns) {
    return TextProblem{"the time goes back", 1};
  }
  if (time != TextTime::s && time_style(line.text) == TimeStyle::point) {
    return TextProblem{"a time with a decimal point and no unit is in seconds", 1};
  }
  return std::nullopt;
}

Attempt attempt(std::span<const SampleLine> sample, TextReading reading) {
  Attempt result{reading, {}, {}};
  for (const auto& line : sample) {
    TextLine read;
    result.problem = read_text_line(line.text, reading, read);
    if (!result.problem) result.problem = misfit(line, result, read);
    if (result.problem) break;
    result.lines.push_back(std::move(read));
  }
  return result;
}

bool has_time(const Attempt& each) { return each.reading.time != TextTime::none; }

bool begins_with_status(const Attempt& each) {
  const auto& bytes = each.lines.front().bytes;
  return !bytes.empty() && midi::is_status(bytes.front());
}

/// With a column of times or without: the way counts in which the first byte is a status byte.
void settle_column(std::vector<Attempt>& fitting) {
  const auto sensible = [&](bool timed) {
    return std::any_of(fitting.begin(), fitting.end(), [timed](const Attempt& each) {
      return has_time(each) == timed && begins_with_status(each);
    });
  };
  const bool timed = sensible(true);
  if (timed == sensible(false)) return;
  std::erase_if(fitting, [timed](const Attempt& each) { return has_time(each) != timed; });
}

void drop_same(std::vector<Attempt>& fitting) {
  for (std::size_t i = 0; i < fitting.size(); ++i) {
    const auto& kept = fitting[i];
    const auto is_same = [&kept](const Attempt& each) { return each.lines == kept.lines; };
    fitting.erase(std::remove_if(fitting.begin() + static_cast<std::ptrdiff_t>(i) + 1,
                                 fitting.end(), is_same),
                  fitting.end());
  }
}

Error unreadable(std::span<const SampleLine> sample, const std::vector<Attempt>& attempts,
                 const std::string& path) {
  const auto reach = [](const Attempt& each) {
    return std::tuple(each.lines.size(), each.problem->column, !has_time(each));
  };
  const auto& furthest =
      *std::max_element(attempts.begin(), attempts.end(),
                        [&reach](const auto& a, const auto& b) { return reach(a) < reach(b); });
  return {furthest.problem->what,
          path + ", line " + std::to_string(sample[furthest.lines.size()].number) + ", column " +
              std::to_string(furthest.problem->column),
          "write bytes as hex, 0x or decimal numbers, at most one time before them, # before "
          "comments"};
}

Error ambiguous(const std::vector<Attempt>& fitting, const SampleLine& first,
                const std::string& path) {
  std::string names;
  for (const auto& each : fitting) names += (names.empty() ? "" : ", ") + to_text(each.reading);
  return {"the numbers can be read in " + std::to_string(fitting.size()) + " ways: " + names,
          path + ", line " + std::to_string(first.number),
          "say which with --as, for instance --as " + to_text(fitting.front().reading)};
}

}  // namespace

Result<TextReading> choose_reading(std::span<const SampleLine> sample, const std::string& path) {
  if (sample.empty()) return TextReading{};
  std::vector<Attempt> attempts;
  for (const auto reading : text_readings()) attempts.push_back(attempt(sample, reading));
  std::vector<Attempt> fitting = attempts;
  std::erase_if(fitting, [](const Attempt& each) { return each.problem.has_value(); });
  if (fitting.empty()) return unreadable(sample, attempts, path);
  settle_column(fitting);
  drop_same(fitting);
  if (fitting.size() > 1) return ambiguous(fitting, sample.front(), path);
  return fitting.front().reading;
}

}  // namespace strumwright::session
