// app/screens/parts/figures.h
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace strumwright::screens {

/// Minutes, seconds and tenths of a time in the session: "01:24.6"; from an hour on "1:02:03.4".
/// Cut, not rounded, so that a clock never shows a time that has not come.
[[nodiscard]] std::string time_text(std::int64_t t_ns);
/// The same without tenths.
[[nodiscard]] std::string clock_text(std::int64_t t_ns);

/// A number with fixed decimals and the real minus sign (U+2212); "–" for what is not finite.
[[nodiscard]] std::string number_text(double value, int decimals);
/// A count with thousands parted: "1,482".
[[nodiscard]] std::string count_text(std::uint64_t count);
/// A duration in the unit that suits it: "310 µs", "62 ms", "1.02 s", "4 min".
[[nodiscard]] std::string duration_text(std::int64_t ns);

/// "1 note", "2 notes": the singular with an s where the count asks for it.
[[nodiscard]] std::string counted(std::uint64_t count, std::string_view singular);

/// Where an axis from 0 to `most` has its marks: steps of 1, 2 or 5 times a power of ten, at most
/// `marks` of them besides 0. `most` > 0.
struct Ticks {
  double step = 1.0;
  double end = 1.0;  ///< the first mark at or beyond `most`
  int decimals = 0;  ///< that the labels need
};
[[nodiscard]] Ticks ticks_for(double most, int marks);

}  // namespace strumwright::screens
