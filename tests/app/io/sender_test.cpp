// tests/app/io/sender_test.cpp
#include "app/io/sender.h"

#include <atomic>
#include <utility>

#include "tests/app/io/source_support.h"
#include <doctest/doctest.h>

#include "app/io/clock.h"

using namespace strumwright;
using namespace strumwright::io;
using Bytes = std::vector<std::uint8_t>;

namespace {

constexpr std::int64_t ms = 1'000'000;

/// What a port was given, kept beyond the port's end.
struct Log {
  std::mutex mutex;
  std::vector<std::pair<std::int64_t, Bytes>> sent;  // when it came, and what
  bool broken = false;

  std::vector<Bytes> bytes() {
    const std::lock_guard lock(mutex);
    std::vector<Bytes> all;
    for (const auto& entry : sent) all.push_back(entry.second);
    return all;
  }
};

class LoggedOutput final : public Output {
 public:
  LoggedOutput(Log& log, bool raw) : log_(log), raw_(raw) {}
  [[nodiscard]] std::string name() const override { return "log"; }
  [[nodiscard]] bool raw() const override { return raw_; }
  [[nodiscard]] Result<Done> send(std::int64_t /*t_ns*/,
                                  std::span<const std::uint8_t> bytes) override {
    const std::lock_guard lock(log_.mutex);
    if (log_.broken) return Error{"it is broken", "log", "mend it"};
    log_.sent.emplace_back(now_ns(), Bytes(bytes.begin(), bytes.end()));
    return Done{};
  }
  void flush() override {}

 private:
  Log& log_;
  bool raw_;
};

}  // namespace

TEST_CASE("a port of messages gets each whole, a raw one gets the bytes as they are") {
  const Bytes running{0x90, 60, 100, 64, 90};
  for (const bool raw : {false, true}) {
    Log log;
    Sender sender(std::make_unique<LoggedOutput>(log, raw));
    sender.send(running);
    sender.drain();
    CHECK(log.bytes() == (raw ? std::vector<Bytes>{running}
                              : std::vector<Bytes>{{0x90, 60, 100}, {0x90, 64, 90}}));
  }
}

TEST_CASE("a message for later waits, one for now goes before it, drain waits for both") {
  Log log;
  Sender sender(std::make_unique<LoggedOutput>(log, false));
  const auto due_ns = now_ns() + 60 * ms;
  sender.send_at(due_ns, Bytes{0x80, 60, 0});
  sender.send(Bytes{0x90, 60, 100});
  sender.drain();
  REQUIRE(log.bytes() == std::vector<Bytes>{{0x90, 60, 100}, {0x80, 60, 0}});
  CHECK(log.sent[0].first < due_ns);
  CHECK(log.sent[1].first >= due_ns);
}

TEST_CASE("a release drops what waits and ends what was started") {
  Log log;
  Sender sender(std::make_unique<LoggedOutput>(log, false));
  sender.send(Bytes{0x90, 60, 100});
  sender.send_at(now_ns() + 60'000 * ms, Bytes{0x90, 62, 100});
  sender.release_all();
  sender.drain();
  CHECK(log.bytes() == std::vector<Bytes>{{0x90, 60, 100}, {0x80, 60, 64}, {0xB0, 123, 0}});
}

TEST_CASE("a sender that ends releases what it started, once") {
  Log log;
  {
    Sender sender(std::make_unique<LoggedOutput>(log, false));
    sender.send(Bytes{0x93, 60, 100});
    sender.drain();
    sender.release_all();
    sender.drain();
  }
  CHECK(log.bytes() == std::vector<Bytes>{{0x93, 60, 100}, {0x83, 60, 64}, {0xB3, 123, 0}});
}

TEST_CASE("all that went out is told with its stamp, and so is what could not") {
  Listener listener;
  Log log;
  Sender sender(std::make_unique<LoggedOutput>(log, false), &listener.ring());
  const auto before_ns = now_ns();
  sender.send(Bytes{0x90, 60, 0});
  auto got = listener.next();
  REQUIRE(got.size() == 1);
  CHECK(got[0].bytes == Bytes{0x90, 60, 0});
  CHECK(got[0].t_ns >= before_ns);
  CHECK(sender.take_error().empty());
  {
    const std::lock_guard lock(log.mutex);
    log.broken = true;
  }
  sender.send(Bytes{0xF8});
  got = listener.next();
  REQUIRE(got.size() == 1);
  CHECK(got[0].kind == StampedRing::Kind::notice);
  CHECK(got[0].text == "log: it is broken");
  CHECK(sender.take_error() == "log: it is broken");
  CHECK(sender.take_error().empty());
}
