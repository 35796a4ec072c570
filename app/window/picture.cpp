// app/window/picture.cpp
#include "app/window/picture.h"

#include <algorithm>
#include <cmath>

namespace strumwright::window {

namespace {

/// The clip of `command` in whole pixels within the picture; no width if nothing of it shows.
Piece clipped(const ImDrawCmd& command, int width, int height) {
  const int left = std::max(0, static_cast<int>(command.ClipRect.x));
  const int top = std::max(0, static_cast<int>(command.ClipRect.y));
  const int right = std::min(width, static_cast<int>(std::ceil(command.ClipRect.z)));
  const int bottom = std::min(height, static_cast<int>(std::ceil(command.ClipRect.w)));
  return {left, top, std::max(0, right - left), std::max(0, bottom - top), 0, 0, 0};
}

}  // namespace

void Picture::copy_from(const ImDrawData& draw_data) {
  width = static_cast<int>(draw_data.DisplaySize.x);
  height = static_cast<int>(draw_data.DisplaySize.y);
  vertices.clear();
  indices.clear();
  pieces.clear();
  for (int i = 0; i < draw_data.CmdListsCount; ++i) {
    const ImDrawList& list = *draw_data.CmdLists[i];
    const auto vertex_base = static_cast<std::uint32_t>(vertices.size());
    const auto index_base = static_cast<std::uint32_t>(indices.size());
    vertices.insert(vertices.end(), list.VtxBuffer.begin(), list.VtxBuffer.end());
    indices.insert(indices.end(), list.IdxBuffer.begin(), list.IdxBuffer.end());
    for (const ImDrawCmd& command : list.CmdBuffer) {
      auto piece = clipped(command, width, height);
      if (piece.width == 0 || piece.height == 0 || command.ElemCount == 0) continue;
      piece.first_index = index_base + command.IdxOffset;
      piece.index_count = command.ElemCount;
      piece.first_vertex = vertex_base + command.VtxOffset;
      pieces.push_back(piece);
    }
  }
}

}  // namespace strumwright::window
