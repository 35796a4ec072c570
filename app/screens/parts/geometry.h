// app/screens/parts/geometry.h
#pragma once

namespace strumwright::screens {

/// A place in units (pixels at 100 %).
struct Point {
  float x = 0.0F;
  float y = 0.0F;
};

/// A box in units; y grows downwards.
struct Box {
  float x = 0.0F;
  float y = 0.0F;
  float w = 0.0F;
  float h = 0.0F;

  [[nodiscard]] constexpr float right() const { return x + w; }
  [[nodiscard]] constexpr float bottom() const { return y + h; }
  [[nodiscard]] constexpr Point centre() const { return {x + w / 2.0F, y + h / 2.0F}; }
  [[nodiscard]] constexpr bool has(Point p) const {
    return p.x >= x && p.x < right() && p.y >= y && p.y < bottom();
  }
  /// Whether `other` lies inside, give or take `slack`.
  [[nodiscard]] constexpr bool holds(const Box& other, float slack = 0.0F) const {
    return other.x >= x - slack && other.y >= y - slack && other.right() <= right() + slack &&
           other.bottom() <= bottom() + slack;
  }
  /// Whether the two share more than an edge of `slack`.
  [[nodiscard]] constexpr bool meets(const Box& other, float slack = 0.0F) const {
    return other.x < right() - slack && x < other.right() - slack && other.y < bottom() - slack &&
           y < other.bottom() - slack;
  }
  [[nodiscard]] constexpr Box inset(float by) const {
    return {x + by, y + by, w - 2.0F * by, h - 2.0F * by};
  }
  /// The left `width` units.
  [[nodiscard]] constexpr Box left(float width) const { return {x, y, width, h}; }
  /// What is right of the left `width` units.
  [[nodiscard]] constexpr Box without_left(float width) const {
    return {x + width, y, w - width, h};
  }
  [[nodiscard]] constexpr Box top(float height) const { return {x, y, w, height}; }
  [[nodiscard]] constexpr Box without_top(float height) const {
    return {x, y + height, w, h - height};
  }
};

}  // namespace strumwright::screens
