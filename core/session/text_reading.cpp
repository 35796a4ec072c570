// core/session/text_reading.cpp
#include "core/session/text_reading.h"

#include <algorithm>

#include "core/session/capture_line.h"
#include "core/session/hex_digit.h"
#include "core/session/label.h"

namespace strumwright::session {
namespace {

using Problem = std::optional<TextProblem>;

constexpr std::string_view separators = " \t\r\v\f,;:";
constexpr std::string_view unit_names[] = {"", "s", "ms", "us"};
constexpr std::int64_t unit_ns[] = {0, 1'000'000'000, 1'000'000, 1'000};

/// Takes what stands between separators, one number or word a call.
class Words {
 public:
  explicit Words(std::string_view text) : text_(text.substr(0, text.find('#'))) {}

  /// The next word; empty at the end of the line.
  std::string_view next() {
    begin_ = std::min(text_.find_first_not_of(separators, end_), text_.size());
    end_ = std::min(text_.find_first_of(separators, begin_), text_.size());
    return text_.substr(begin_, end_ - begin_);
  }
  /// The last word shall come again.
  void put_back() { end_ = begin_; }

  /// Where the last word began, from 1.
  [[nodiscard]] std::size_t column() const { return begin_ + 1; }

 private:
  std::string_view text_;
  std::size_t begin_ = 0;
  std::size_t end_ = 0;
};

bool is_digit(char character) { return character >= '0' && character <= '9'; }

std::string shown(std::string_view word) { return "'" + clean_label(word.substr(0, 24)) + "'"; }

bool has_hex_prefix(std::string_view word) {
  return word.size() > 2 && word[0] == '0' && (word[1] == 'x' || word[1] == 'X');
}

bool take_hex(std::string_view word, std::vector<std::uint8_t>& bytes) {
  if (!std::all_of(word.begin(), word.end(), [](char c) { return hex_digit(c) <= 0xF; })) {
    return false;
  }
  if (word.size() == 1) {
    bytes.push_back(hex_digit(word[0]));
    return true;
  }
  for (std::size_t i = 0; i + 1 < word.size(); i += 2) {
    bytes.push_back(static_cast<std::uint8_t>(hex_digit(word[i]) << 4U | hex_digit(word[i + 1])));
  }
  return word.size() % 2 == 0;
}

bool take_decimal(std::string_view word, std::vector<std::uint8_t>& bytes) {
  if (word.size() > 3 || !std::all_of(word.begin(), word.end(), is_digit)) return false;
  unsigned number = 0;
  for (const char digit : word) number = number * 10 + static_cast<unsigned>(digit - '0');
  bytes.push_back(static_cast<std::uint8_t>(number));
  return number <= 255;
}

Problem take_byte(std::string_view word, std::size_t column, TextBase base,
                  std::vector<std::uint8_t>& bytes) {
  const bool is_hex = base == TextBase::hex;
  if (has_hex_prefix(word)) {
    if (take_hex(word.substr(2), bytes)) return std::nullopt;
  } else if (is_hex ? take_hex(word, bytes) : take_decimal(word, bytes)) {
    return std::nullopt;
  }
  return TextProblem{shown(word) + (is_hex ? " is not a hex byte" : " is not a decimal byte"),
                     column};
}

/// The digits before the point in whole units, those behind it down to ns; none if it is no number
/// or beyond what a recording may name.
std::optional<std::int64_t> to_ns(std::string_view number, std::int64_t scale_ns) {
  std::int64_t t_ns = 0;
  bool behind_point = false;
  bool has_digits = false;
  for (const char character : number) {
    if (character == '.' && !behind_point) {
      behind_point = true;
      continue;
    }
    if (!is_digit(character)) return std::nullopt;
    has_digits = true;
    const std::int64_t digit = character - '0';
    if (behind_point) {
      scale_ns /= 10;
      t_ns += digit * scale_ns;
    } else if (t_ns > latest_ns / 10) {
      return std::nullopt;
    } else {
      t_ns = t_ns * 10 + digit * scale_ns;
    }
    if (t_ns > latest_ns) return std::nullopt;
  }
  return has_digits ? std::optional(t_ns) : std::nullopt;
}

/// Splits "12.5ms" into number and unit; the unit may be the next word.
std::string_view take_unit(std::string_view& number, Words& words) {
  const auto letters = std::min(number.find_first_not_of("0123456789."), number.size());
  auto unit = number.substr(letters);
  number = number.substr(0, letters);
  if (!unit.empty()) return unit;
  unit = words.next();
  if (std::find(std::begin(unit_names) + 1, std::end(unit_names), unit) != std::end(unit_names)) {
    return unit;
  }
  words.put_back();
  return {};
}

Problem take_time(Words& words, TextTime time, std::int64_t& t_ns) {
  auto number = words.next();
  if (number.empty()) return std::nullopt;
  const auto whole = number;
  const auto column = words.column();
  const auto unit = take_unit(number, words);
  const auto index = static_cast<std::size_t>(time);
  const auto taken_ns = to_ns(number, unit_ns[index]);
  if (!taken_ns || (!unit.empty() && unit != unit_names[index])) {
    return TextProblem{shown(whole) + " is not a time in " + std::string(unit_names[index]),
                       column};
  }
  t_ns = *taken_ns;
  return std::nullopt;
}

}  // namespace

const std::vector<TextReading>& text_readings() {
  static const std::vector<TextReading> readings = [] {
    std::vector<TextReading> all;
    for (const auto base : {TextBase::hex, TextBase::decimal}) {
      for (const auto time : {TextTime::none, TextTime::s, TextTime::ms, TextTime::us}) {
        all.push_back({base, time});
      }
    }
    return all;
  }();
  return readings;
}

std::string to_text(TextReading reading) {
  std::string name = reading.base == TextBase::hex ? "text-hex" : "text-dec";
  if (reading.time == TextTime::none) return name;
  return name + "-" + std::string(unit_names[static_cast<std::size_t>(reading.time)]);
}

std::optional<TextReading> text_reading_by_name(std::string_view as) {
  for (const auto reading : text_readings()) {
    if (to_text(reading) == as) return reading;
  }
  return std::nullopt;
}

std::optional<TextProblem> read_text_line(std::string_view text, TextReading reading,
                                          TextLine& line) {
  Words words(text);
  line.t_ns = 0;
  line.bytes.clear();
  if (reading.time != TextTime::none) {
    if (auto problem = take_time(words, reading.time, line.t_ns)) return problem;
  }
  for (auto word = words.next(); !word.empty(); word = words.next()) {
    if (auto problem = take_byte(word, words.column(), reading.base, line.bytes)) return problem;
  }
  return std::nullopt;
}

TimeStyle time_style(std::string_view text) {
  Words words(text);
  auto number = words.next();
  const bool has_point = number.find('.') != std::string_view::npos;
  const auto unit = take_unit(number, words);
  if (unit == "s") return TimeStyle::s;
  if (unit == "ms") return TimeStyle::ms;
  if (unit == "us") return TimeStyle::us;
  return has_point ? TimeStyle::point : TimeStyle::whole;
}

}  // namespace strumwright::session
