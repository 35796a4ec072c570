// core/session/bin_reader.cpp
#include "core/session/bin_reader.h"

namespace strumwright::session {

BinReader::BinReader(const std::string& path, ByteSource& source)
    : source_(source), header_(untimed_header(InputKind::bin, path)) {}

Result<std::span<const Entry>> BinReader::read() {
  auto count = source_.read(block_.space());
  if (!count) return count.error();
  if (*count == 0) return std::span<const Entry>();
  block_.set_count(*count);
  entry_ = block_.take();
  return std::span<const Entry>(&entry_, 1);
}

}  // namespace strumwright::session
