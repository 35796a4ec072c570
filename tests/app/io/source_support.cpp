// tests/app/io/source_support.cpp
#include "tests/app/io/source_support.h"

#include <doctest/doctest.h>
#include <fcntl.h>
#include <stdlib.h>  // NOLINT(modernize-deprecated-headers): posix_openpt is here only
#include <unistd.h>

#include "app/io/clock.h"

using namespace strumwright::io;

std::vector<Got> Listener::next(int limit_ms) {
  const std::int64_t until_ns = now_ns() + limit_ms * 1'000'000LL;
  for (;;) {
    const auto seen = bell_.count();
    if (const auto* item = ring_.front()) {
      Got got{item->kind, item->t_ns, {item->bytes.begin(), item->bytes.end()}, {}};
      if (item->kind != StampedRing::Kind::chunk) got.text = item->text();
      ring_.pop();
      return {got};
    }
    if (now_ns() >= until_ns) return {};
    bell_.wait(seen, until_ns - now_ns());
  }
}

std::vector<std::uint8_t> Listener::bytes(std::size_t size) {
  std::vector<std::uint8_t> all;
  while (all.size() < size) {
    const auto got = next();
    if (got.empty() || got[0].kind != StampedRing::Kind::chunk) break;
    all.insert(all.end(), got[0].bytes.begin(), got[0].bytes.end());
  }
  return all;
}

Terminal open_terminal() {
  Terminal terminal{FileDescriptor(::posix_openpt(O_RDWR | O_NOCTTY | O_CLOEXEC)), {}};
  REQUIRE(terminal.fd);
  REQUIRE(::grantpt(terminal.fd.number()) == 0);
  REQUIRE(::unlockpt(terminal.fd.number()) == 0);
  terminal.path = ::ptsname(terminal.fd.number());
  return terminal;
}

Folder::Folder() {
  std::string name = (std::filesystem::temp_directory_path() / "strumwright-XXXXXX").string();
  REQUIRE(::mkdtemp(name.data()) != nullptr);
  path_ = name;
}

Folder::~Folder() {
  std::error_code ignored;
  std::filesystem::remove_all(path_, ignored);
}

void write_bytes(const FileDescriptor& fd, const std::vector<std::uint8_t>& bytes) {
  REQUIRE(::write(fd.number(), bytes.data(), bytes.size()) == static_cast<ssize_t>(bytes.size()));
}
