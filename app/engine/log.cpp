// app/engine/log.cpp
#include "app/engine/log.h"

#include <exception>

#include <spdlog/logger.h>
#include <spdlog/sinks/rotating_file_sink.h>

namespace strumwright::engine {

namespace {

constexpr std::size_t file_bytes = std::size_t{1} << 20U;
constexpr std::size_t old_files = 2;

std::shared_ptr<spdlog::sinks::sink> sink_for(const std::filesystem::path& file) {
  if (file.empty()) return nullptr;
  try {
    return std::make_shared<spdlog::sinks::rotating_file_sink_mt>(file.string(), file_bytes,
                                                                  old_files);
  } catch (const std::exception&) {
    return nullptr;  // no log is no reason not to run
  }
}

}  // namespace

struct Log::Writer {
  explicit Writer(std::shared_ptr<spdlog::sinks::sink> sink) : logger("strumwright") {
    logger.set_error_handler([](const std::string&) {});
    if (sink) logger.sinks().push_back(std::move(sink));
    logger.set_pattern("%Y-%m-%dT%H:%M:%S.%e %l %v");
    logger.flush_on(spdlog::level::warn);
  }
  spdlog::logger logger;
};

Log::Log(const std::filesystem::path& file) : writer_(std::make_unique<Writer>(sink_for(file))) {}

Log::~Log() = default;

void Log::info(std::string_view line) {
  writer_->logger.info(spdlog::string_view_t(line.data(), line.size()));
}

void Log::warning(std::string_view line) {
  writer_->logger.warn(spdlog::string_view_t(line.data(), line.size()));
}

}  // namespace strumwright::engine
