// core/result.h
#pragma once

#include <string>
#include <utility>
#include <variant>

namespace strumwright {

/// Why it could not be done, in the user's words.
struct Error {
  std::string what;    ///< "track 2 claims 9,000 bytes but 812 are left"
  std::string where;   ///< "evening.mid, byte 14"
  std::string remedy;  ///< "export the file again"
};

/// A `T`, or why there is none. Ask before you dereference.
template <class T>
class [[nodiscard]] Result {
 public:
  Result(T value) : state_(std::move(value)) {}
  Result(Error error) : state_(std::move(error)) {}
  explicit operator bool() const { return state_.index() == 0; }
  T& operator*() { return std::get<0>(state_); }
  const T& operator*() const { return std::get<0>(state_); }
  T* operator->() { return &std::get<0>(state_); }
  const T* operator->() const { return &std::get<0>(state_); }
  [[nodiscard]] const Error& error() const { return std::get<1>(state_); }

 private:
  std::variant<T, Error> state_;
};

/// For what either succeeds with nothing to hand back, or says why not.
struct Done {};

}  // namespace strumwright
