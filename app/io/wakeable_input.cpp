// app/io/wakeable_input.cpp
#include "app/io/wakeable_input.h"

#include <cerrno>
#include <ios>

#include <unistd.h>

namespace strumwright::io {

WakeableInput::int_type WakeableInput::underflow() {
  if (wake_->wait(number_, -1) == Wake::Ready::called) return traits_type::eof();
  ssize_t count = -1;
  do {
    count = ::read(number_, buffer_.data(), buffer_.size());
  } while (count < 0 && errno == EINTR);
  // The one way to say so: the stream that reads here catches it and is bad.
  if (count < 0) throw std::ios_base::failure("reading failed");
  if (count == 0) return traits_type::eof();
  setg(buffer_.data(), buffer_.data(), buffer_.data() + count);
  return traits_type::to_int_type(buffer_.front());
}

}  // namespace strumwright::io
