// app/io/files.cpp
#include "app/io/files.h"

#include <array>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <istream>
#include <ostream>
#include <system_error>

namespace strumwright::io {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t store_memory_bytes = 1U << 20U;

std::string reason() { return std::generic_category().message(errno); }

}  // namespace

Result<std::unique_ptr<FileSource>> FileSource::open(const std::string& path) {
  std::error_code code;
  if (fs::is_directory(path, code)) {
    return Error{"this is a directory, not a recording", path, "name a file inside it"};
  }
  errno = 0;
  FileHandle file(std::fopen(path.c_str(), "rb"));
  if (!file) {
    return Error{"the file cannot be opened (" + reason() + ")", path,
                 "check the name and your permission to read it"};
  }
  const auto size = fs::file_size(path, code);
  return std::unique_ptr<FileSource>(
      new FileSource(std::move(file), path, code ? 0 : static_cast<std::uint64_t>(size)));
}

Result<std::size_t> FileSource::read(std::span<std::uint8_t> space) {
  errno = 0;
  const std::size_t count = std::fread(space.data(), 1, space.size(), file_.get());
  if (count == 0 && std::ferror(file_.get()) != 0) {
    return Error{"reading failed (" + reason() + ")", path_,
                 "copy the file elsewhere and try that"};
  }
  read_ += count;
  return count;
}

double FileSource::progress() const {
  return size_ == 0 ? 0.0 : static_cast<double>(read_) / static_cast<double>(size_);
}

Result<std::size_t> StreamSource::read(std::span<std::uint8_t> space) {
  stream_->read(reinterpret_cast<char*>(space.data()), static_cast<std::streamsize>(space.size()));
  if (stream_->bad()) return unreadable_stream();
  return static_cast<std::size_t>(stream_->gcount());
}

Error unreadable_stream() {
  return {"reading failed", "stdin", "give it a file or a pipe that can be read"};
}

Result<Done> StreamSink::write(std::span<const std::uint8_t> bytes) {
  stream_->write(reinterpret_cast<const char*>(bytes.data()),
                 static_cast<std::streamsize>(bytes.size()));
  if (stream_->good()) return Done{};
  return Error{"the output could not be written", name_, "check the disk, or what reads the pipe"};
}

Result<Done> StreamSink::flush() {
  stream_->flush();
  return write({});
}

Result<std::unique_ptr<FileSink>> FileSink::create(const std::string& path) {
  std::error_code code;
  const bool in_place = fs::exists(path, code) && !fs::is_regular_file(path, code);
  const std::string beside = in_place ? std::string() : path + ".part";
  errno = 0;
  FileHandle file(std::fopen(in_place ? path.c_str() : beside.c_str(), "wb"));
  if (!file) {
    return Error{"the file cannot be written (" + reason() + ")", path,
                 "choose another place or make room there"};
  }
  return std::unique_ptr<FileSink>(new FileSink(std::move(file), path, beside));
}

FileSink::~FileSink() {
  if (!file_ || beside_.empty()) return;
  file_.reset();
  std::error_code code;
  fs::remove(beside_, code);
}

Error FileSink::failure() const {
  return Error{"the file could not be written (" + reason() + ")", path_,
               "choose another place or make room there"};
}

Result<Done> FileSink::write(std::span<const std::uint8_t> bytes) {
  errno = 0;
  if (std::fwrite(bytes.data(), 1, bytes.size(), file_.get()) == bytes.size()) return Done{};
  return failure();
}

Result<Done> FileSink::close() {
  errno = 0;
  const bool flushed = std::fflush(file_.get()) == 0;
  const bool closed = std::fclose(file_.release()) == 0;
  std::error_code code;
  if (flushed && closed && !beside_.empty()) fs::rename(beside_, path_, code);
  if (flushed && closed && !code) return Done{};
  if (code) errno = code.value();
  const Error error = failure();
  fs::remove(beside_, code);
  return error;
}

Result<Done> TempStore::append(std::string_view text) {
  text_ += text;
  if (text_.size() < store_memory_bytes) return Done{};
  return spill();
}

Result<Done> TempStore::spill() {
  errno = 0;
  if (!file_) file_.reset(std::tmpfile());
  if (!file_ || std::fwrite(text_.data(), 1, text_.size(), file_.get()) != text_.size()) {
    return Error{"there is no room for the list of strums (" + reason() + ")",
                 fs::temp_directory_path().string(), "make room there, or use --summary"};
  }
  text_.clear();
  return Done{};
}

Result<Done> TempStore::copy_to(session::ByteSink& sink) {
  if (file_) {
    if (auto spilled = spill(); !spilled) return spilled;
    std::rewind(file_.get());
    std::array<std::uint8_t, 1U << 16U> piece{};
    while (const std::size_t count = std::fread(piece.data(), 1, piece.size(), file_.get())) {
      if (auto written = sink.write({piece.data(), count}); !written) return written;
    }
    return Done{};
  }
  const auto* bytes = reinterpret_cast<const std::uint8_t*>(text_.data());
  return sink.write({bytes, text_.size()});
}

}  // namespace strumwright::io
