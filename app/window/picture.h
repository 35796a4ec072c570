// app/window/picture.h
#pragma once

#include <cstdint>
#include <vector>

#include <imgui.h>

#include "app/theme/palette.h"

namespace strumwright::window {

/// A run of triangles with one clip, in pixels from the upper left.
struct Piece {
  int x = 0;
  int y = 0;
  int width = 0;
  int height = 0;
  std::uint32_t first_index = 0;
  std::uint32_t index_count = 0;
  std::uint32_t first_vertex = 0;
};

/// A copy of a frame's draw data, which the render thread draws while the main thread builds on.
struct Picture {
  int width = 0;  ///< of the framebuffer, in pixels
  int height = 0;
  theme::Colour ground;
  bool capture = false;  ///< hand back the pixels before they are shown
  std::vector<ImDrawVert> vertices;
  std::vector<ImDrawIdx> indices;
  std::vector<Piece> pieces;

  /// Takes a copy; keeps the memory of the picture that it was.
  void copy_from(const ImDrawData& draw_data);
};

/// The glyphs, one byte of coverage a pixel.
struct AtlasImage {
  int width = 0;
  int height = 0;
  std::vector<std::uint8_t> coverage;
};

/// Pixels as read back: red, green, blue, opacity; rows from the top.
struct Pixels {
  int width = 0;
  int height = 0;
  std::vector<std::uint8_t> rgba;
};

}  // namespace strumwright::window
