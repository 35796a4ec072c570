// app/io/files.h
#pragma once

#include <cstdint>
#include <cstdio>
#include <iosfwd>
#include <memory>
#include <string>
#include <string_view>

#include "core/publish/audit_document.h"
#include "core/result.h"
#include "core/session/byte_source.h"

namespace strumwright::io {

struct CloseFile {
  void operator()(std::FILE* file) const { static_cast<void>(std::fclose(file)); }
};
using FileHandle = std::unique_ptr<std::FILE, CloseFile>;

/// A file on disk, read from its start.
class FileSource : public session::ByteSource {
 public:
  /// Errors: missing, not readable, a directory, each with what to do.
  static Result<std::unique_ptr<FileSource>> open(const std::string& path);

  Result<std::size_t> read(std::span<std::uint8_t> space) override;
  /// Share that has been read, 0 to 1; 0 if the size is unknown.
  [[nodiscard]] double progress() const;

 private:
  FileSource(FileHandle file, std::string path, std::uint64_t size)
      : file_(std::move(file)), path_(std::move(path)), size_(size) {}

  FileHandle file_;
  std::string path_;
  std::uint64_t size_ = 0;
  std::uint64_t read_ = 0;
};

/// Why stdin gives nothing, when it is closed or a directory.
Error unreadable_stream();

/// A stream that somebody else opened, for instance stdin.
class StreamSource : public session::ByteSource {
 public:
  explicit StreamSource(std::istream& stream) : stream_(&stream) {}
  Result<std::size_t> read(std::span<std::uint8_t> space) override;

 private:
  std::istream* stream_;
};

/// A stream that somebody else opened, for instance stdout; each write is checked.
class StreamSink : public session::ByteSink {
 public:
  StreamSink(std::ostream& stream, std::string name) : stream_(&stream), name_(std::move(name)) {}
  Result<Done> write(std::span<const std::uint8_t> bytes) override;
  /// Pushes out what the stream holds back.
  Result<Done> flush();

 private:
  std::ostream* stream_;
  std::string name_;
};

/// A new file, replaced only when `close` succeeds: written beside it first.
class FileSink : public session::ByteSink {
 public:
  static Result<std::unique_ptr<FileSink>> create(const std::string& path);
  ~FileSink() override;

  Result<Done> write(std::span<const std::uint8_t> bytes) override;
  /// Makes the file what was written.
  Result<Done> close();

 private:
  FileSink(FileHandle file, std::string path, std::string beside)
      : file_(std::move(file)), path_(std::move(path)), beside_(std::move(beside)) {}
  [[nodiscard]] Error failure() const;

  FileHandle file_;
  std::string path_;
  std::string beside_;  // where it is written meanwhile; empty: in place (a device, a pipe)
};

/// Text kept in memory while it is little, then in a file without a name that goes with us.
class TempStore : public publish::TextStore {
 public:
  Result<Done> append(std::string_view text) override;
  Result<Done> copy_to(session::ByteSink& sink) override;

 private:
  Result<Done> spill();

  std::string text_;
  FileHandle file_;
};

/// Writes into a store.
class StoreSink : public session::ByteSink {
 public:
  explicit StoreSink(publish::TextStore& store) : store_(&store) {}
  Result<Done> write(std::span<const std::uint8_t> bytes) override {
    return store_->append({reinterpret_cast<const char*>(bytes.data()), bytes.size()});
  }

 private:
  publish::TextStore* store_;
};

}  // namespace strumwright::io
