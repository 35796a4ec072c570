// tests/app/window/picture_test.cpp
#include "app/window/picture.h"

#include "tests/app/screens/headless_support.h"
#include <doctest/doctest.h>

using namespace strumwright;

TEST_CASE("a picture keeps every triangle of a frame after the frame is gone") {
  screens::Headless bench(640, 480, 1.0F);
  bench.frame([](screens::Canvas& canvas) {
    canvas.fill({10, 10, 20, 20}, canvas.palette().brass);
    canvas.push_clip({-50, 100, 100, 1000});
    canvas.disc({20, 120}, 10, canvas.palette().ink);
    canvas.pop_clip();
    canvas.push_clip({700, 0, 50, 50});
    canvas.disc({720, 20}, 10, canvas.palette().ink);
    canvas.pop_clip();
  });
  window::Picture picture;
  picture.copy_from(*ImGui::GetDrawData());
  CHECK(picture.width == 640);
  CHECK(picture.height == 480);
  CHECK(static_cast<int>(picture.vertices.size()) == ImGui::GetDrawData()->TotalVtxCount);
  // The disc outside the window is left out; the other clip is cut to the window.
  REQUIRE(picture.pieces.size() == 2);
  CHECK(picture.pieces[1].x == 0);
  CHECK(picture.pieces[1].width == 50);
  CHECK(picture.pieces[1].height == 380);
  for (const auto& piece : picture.pieces) {
    for (std::uint32_t i = 0; i < piece.index_count; ++i) {
      CHECK(piece.first_vertex + picture.indices[piece.first_index + i] < picture.vertices.size());
    }
  }
}
