// core/session/bin_reader.cpp
#include "core/session/bin_reader.h"

namespace strumwright::session {

BinReader::BinReader(const std::string& path, ByteSource& source)
    : source_(source), header_(untimed_header(InputKind::bin, path)) {}

Result<std::optional<Entry>> BinReader::next() {
  auto count = source_.read(block_.space());
  if (!count) return count.error();
  if (*count == 0) return std::optional<Entry>();
  block_.set_count(*count);
  return std::optional(block_.take());
}

}  // namespace strumwright::session
