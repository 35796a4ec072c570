// app/io/read_stamp.cpp
#include "app/io/read_stamp.h"

#include <algorithm>

namespace strumwright::io {

std::int64_t ReadStamp::stamp(std::int64_t read_ns, std::size_t bytes) {
  const auto wire_ns = static_cast<std::int64_t>(bytes) * byte_ns_;
  const std::int64_t t_ns = std::max(read_ns - wire_ns, end_ns_);
  // Faster than the wire (a USB device that has none): the bytes were there at the read at the
  // latest; without this the stamps would run ahead of the clock.
  end_ns_ = std::max(std::min(t_ns + wire_ns, read_ns), t_ns);
  return t_ns;
}

}  // namespace strumwright::io
