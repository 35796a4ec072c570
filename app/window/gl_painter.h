// app/window/gl_painter.h
#pragma once

#include <cstdint>
#include <string>

#include "app/window/picture.h"
#include "core/result.h"

namespace strumwright::window {

/// Draws pictures with OpenGL 3.3. Lives and dies on the thread whose context it uses.
class GlPainter {
 public:
  /// Makes shaders and buffers; the context is current on this thread.
  static Result<GlPainter> make();
  ~GlPainter();
  GlPainter(GlPainter&& other) noexcept;
  GlPainter& operator=(GlPainter&&) = delete;

  void use_atlas(const AtlasImage& atlas);
  void draw(const Picture& picture);
  /// What was drawn, before it is shown.
  [[nodiscard]] static Pixels read_back(int width, int height);

 private:
  GlPainter() = default;

  std::uint32_t program_ = 0;
  std::uint32_t vertex_array_ = 0;
  std::uint32_t vertex_buffer_ = 0;
  std::uint32_t index_buffer_ = 0;
  std::uint32_t texture_ = 0;
  int projection_ = -1;
};

}  // namespace strumwright::window
