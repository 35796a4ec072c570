// app/io/wakeable_input.h
#pragma once

#include <array>
#include <streambuf>

#include "app/io/file_descriptor.h"

namespace strumwright::io {

/// Reads a descriptor, for instance stdin, for a `std::istream`, whose end it becomes when somebody
/// calls `wake`: a pipe that stays silent must not keep a user who wants to stop.
///
/// A failed read makes the stream bad. Owns neither. Thread: its reader's only.
class WakeableInput : public std::streambuf {
 public:
  WakeableInput(int number, const Wake& wake) : number_(number), wake_(&wake) {}

 protected:
  int_type underflow() override;

 private:
  int number_;
  const Wake* wake_;
  std::array<char, 65'536> buffer_;
};

}  // namespace strumwright::io
