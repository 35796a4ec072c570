// core/midi/stream_writer.cpp
#include "core/midi/stream_writer.h"

#include <cassert>

#include "core/midi/status.h"

namespace strumwright::midi {

void StreamWriter::append(std::uint8_t status, std::uint8_t data1, std::uint8_t data2,
                          std::vector<std::uint8_t>& out) {
  assert(is_status(status) && status != sysex_start && !is_undefined(status));
  if (!running_status_ || status != last_) out.push_back(status);
  const int wanted = data_bytes(status);
  if (wanted > 0) out.push_back(data1);
  if (wanted > 1) out.push_back(data2);
  if (is_channel_status(status)) {
    last_ = status;
  } else if (!is_real_time(status) || status == system_reset) {
    forget();
  }
}

}  // namespace strumwright::midi
