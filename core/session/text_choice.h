// core/session/text_choice.h
#pragma once

#include <cstdint>
#include <span>
#include <string>

#include "core/result.h"
#include "core/session/text_reading.h"

namespace strumwright::session {

/// A line that holds numbers, kept until it is known how to read it.
struct SampleLine {
  std::string text;
  std::uint64_t number = 0;
};

/// Finds the one reading that fits the first lines of a text, and asks for `--as` if more do
/// (ours):
/// - hex or decimal fits if every number is a byte in it, whether or not the bytes make sense: a
///   wrong guess would be believed, a question costs a word. `90 60 64` is asked about, `90 3C 64`
///   and `144 60 100` are not.
/// - A first column is a time if every line has bytes behind it and its times never go back. If the
///   lines can be read with such a column and without, the way counts in which the first byte is a
///   status byte; if that is so of both or of neither, it is asked.
/// - A time with a unit is in that unit, one with a decimal point alone in seconds (as in the other
///   inputs); a whole number without unit is asked about.
/// - Readings that come to the same are one.
/// `path` is for errors.
Result<TextReading> choose_reading(std::span<const SampleLine> sample, const std::string& path);

}  // namespace strumwright::session
