// app/io/read_stamp.h
#pragma once

#include <cstddef>
#include <cstdint>

namespace strumwright::io {

/// Says when the first byte of what a read returned began on the wire, as well as that can be
/// known: the wire time of the bytes before the read, but not before the byte ahead of them ended.
///
/// Times: any one clock; reads come in order. A lump of an adapter that holds bytes back is laid
/// out at wire speed and still ends at the read. A copyable value.
class ReadStamp {
 public:
  explicit ReadStamp(std::int64_t byte_ns) : byte_ns_(byte_ns) {}

  [[nodiscard]] std::int64_t stamp(std::int64_t read_ns, std::size_t bytes);

 private:
  std::int64_t byte_ns_;
  std::int64_t end_ns_ = INT64_MIN;  ///< when the last byte ended; never after its read
};

}  // namespace strumwright::io
