// tests/app/screens/parts/canvas_test.cpp
#include "app/screens/parts/canvas.h"

#include <string>

#include "tests/app/screens/headless_support.h"
#include <doctest/doctest.h>

#include "app/screens/parts/panel.h"

using namespace strumwright::screens;

TEST_CASE("a shortened text always fits, at whole characters") {
  Headless bench(800, 600, 1.0F);
  bench.frame([&](Canvas& canvas) {
    const std::string name = "Übungszither mit sehr langem Namen und Anschluss 20:1";
    const auto style = strong(canvas);
    for (float width = 0.0F; width < 500.0F; width += 3.0F) {
      const auto shorter = canvas.shortened(name, style, width);
      INFO(width, shorter);
      CHECK(canvas.width(shorter, style) <= width);
    }
    CHECK(canvas.shortened(name, style, 2000.0F) == name);
    const auto some = canvas.shortened(name, style, 200.0F);
    CHECK(some.find("…") != std::string::npos);
    CHECK(some.substr(some.size() - 3) == "0:1");
  });
}

TEST_CASE("a paragraph stays within its width and loses no word while there are lines") {
  Headless bench(800, 600, 1.0F);
  const std::string text = "one two three averyveryverylongwordthatfitsnowhere four";
  auto& drawn = bench.frame([&](Canvas& canvas) {
    canvas.set_home({10, 10, 80, 500});
    canvas.paragraph({10, 30}, 80, text, plain(canvas));
  });
  CHECK(drawn.flaws.empty());
  std::string seen;
  for (const auto& placed : drawn.texts) seen += placed.text;
  std::string letters;
  for (const char c : text) letters += c == ' ' ? "" : std::string(1, c);
  std::string seen_letters;
  for (const char c : seen) seen_letters += c == ' ' ? "" : std::string(1, c);
  CHECK(seen_letters == letters);
}

TEST_CASE("a text that leaves its home is noted") {
  Headless bench(800, 600, 1.0F);
  const auto draw_at = [&](float x) {
    return bench
        .frame([&](Canvas& canvas) {
          canvas.set_home({0, 0, 100, 100});
          canvas.text({x, 50}, "word", plain(canvas));
        })
        .flaws.size();
  };
  CHECK(draw_at(20.0F) == 0);
  CHECK(draw_at(90.0F) == 1);
}

TEST_CASE("only a form that fits is put") {
  Headless bench(800, 600, 1.0F);
  auto& drawn = bench.frame([&](Canvas& canvas) {
    const auto style = plain(canvas);
    const float short_width = canvas.width("linked", style);
    canvas.first_fit({0, 20}, short_width, {"linked, raw bytes", "linked"}, style);
    canvas.first_fit({0, 60}, short_width - 1.0F, {"linked, raw bytes", "linked"}, style);
  });
  REQUIRE(drawn.texts.size() == 1);
  CHECK(drawn.texts[0].text == "linked");
}

TEST_CASE("a target answers a press inside it and Enter with the focus") {
  Headless bench(800, 600, 2.0F);
  const auto chosen = [&] {
    bool answer = false;
    bench.frame([&](Canvas& canvas) { answer = canvas.target("keep", {10, 10, 40, 20}); });
    return answer;
  };
  CHECK(!chosen());
  bench.input.pointer = {20, 20};
  CHECK(!chosen());
  bench.input.pressed = true;
  CHECK(chosen());
  bench.input.pointer = {50, 20};
  CHECK(!chosen());
  bench.input = {};
  bench.input.enter = true;
  CHECK(!chosen());
  bench.input.focus = "keep";
  CHECK(chosen());
  REQUIRE(bench.drawn.targets.size() == 1);
  CHECK(bench.drawn.targets[0].id == "keep");
}
