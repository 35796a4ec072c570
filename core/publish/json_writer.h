// core/publish/json_writer.h
#pragma once

#include <concepts>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace strumwright::publish {

/// Writes JSON text piece by piece, so that a document need never stand in memory.
///
/// Appends to a string of the caller, who may take what is there at any time. The caller keeps
/// objects and arrays balanced. Numbers have a decimal point in every locale; what is not finite
/// becomes null. Text that is not UTF-8 has its bad bytes replaced. Thread: its owner's only.
class JsonWriter {
 public:
  explicit JsonWriter(std::string& text) : text_(&text) {}

  void begin_object() { open('{'); }
  void end_object() { close('}'); }
  void begin_array() { open('['); }
  void end_array() { close(']'); }
  void key(std::string_view name);

  void value(std::string_view text);
  void value(const char* text) { value(std::string_view(text)); }
  void value(const std::string& text) { value(std::string_view(text)); }
  void value(bool truth);
  void value(double number);
  void value(std::integral auto number) {
    if constexpr (std::signed_integral<decltype(number)>) {
      whole(static_cast<std::int64_t>(number));
    } else {
      natural(static_cast<std::uint64_t>(number));
    }
  }
  void null();
  /// JSON text made elsewhere.
  void raw(std::string_view json);

  template <class T>
  void value(const std::optional<T>& maybe) {
    if (maybe) {
      value(*maybe);
    } else {
      null();
    }
  }
  template <class T>
  void member(std::string_view name, const T& what) {
    key(name);
    value(what);
  }
  void null_member(std::string_view name) {
    key(name);
    null();
  }

 private:
  void open(char bracket);
  void close(char bracket);
  void separate();
  void whole(std::int64_t number);
  void natural(std::uint64_t number);

  std::string* text_;
  bool comma_ = false;  // a comma is due before the next element
};

/// Appends `text` as a JSON string with its quotes.
void append_json_string(std::string_view text, std::string& to);

}  // namespace strumwright::publish
