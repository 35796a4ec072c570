// app/io/source_watch.cpp
#include "app/io/source_watch.h"

#include <algorithm>
#include <utility>

#include "app/io/port_list.h"
#include "app/io/source.h"

namespace strumwright::io {
namespace {

constexpr auto pause_between_looks = std::chrono::seconds(1);
/// How long one question keeps the watch looking.
constexpr auto patience = std::chrono::seconds(3);

std::vector<OpenableSource> look() {
  std::vector<OpenableSource> found;
  const auto list = list_inputs();
  for (const auto& port : list.midi_in) {
    found.push_back({"port:" + port.name, port.name, "MIDI port, " + port.api});
  }
  if (virtual_ports_work()) {
    found.push_back({"virtual:in", "Own input", "a port for other programs to connect to"});
  }
  for (const auto& path : list.raw) found.push_back({"raw:" + path, path, "raw MIDI device file"});
  for (const auto& line : list.serial) {
    found.push_back({"serial:" + line.device, line.device, line.text + ", at 31,250 baud"});
  }
  return found;
}

bool same(const std::vector<OpenableSource>& a, const std::vector<OpenableSource>& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](const auto& one, const auto& other) {
    return one.address == other.address && one.detail == other.detail;
  });
}

}  // namespace

SourceWatch::SourceWatch(std::function<void()> changed)
    : changed_(std::move(changed)), wanted_until_(Clock::now() + pause_between_looks) {
  thread_ = std::thread([this] { run(); });
}

SourceWatch::~SourceWatch() {
  {
    const std::lock_guard lock(mutex_);
    closing_ = true;
  }
  asked_.notify_one();
  thread_.join();
}

std::vector<OpenableSource> SourceWatch::list() {
  const std::lock_guard lock(mutex_);
  wanted_until_ = Clock::now() + patience;
  asked_.notify_one();
  return found_;
}

void SourceWatch::run() {
  std::unique_lock lock(mutex_);
  while (!closing_) {
    asked_.wait(lock, [this] { return closing_ || Clock::now() < wanted_until_; });
    if (closing_) return;
    lock.unlock();
    auto found = look();
    lock.lock();
    const bool changed = !same(found, found_);
    found_ = std::move(found);
    if (changed) {
      lock.unlock();
      changed_();
      lock.lock();
    }
    asked_.wait_for(lock, pause_between_looks, [this] { return closing_; });
  }
}

}  // namespace strumwright::io
