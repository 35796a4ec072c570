// app/window/screenshot.cpp
#include "app/window/screenshot.h"

#include <png.h>

namespace strumwright::window {

Result<Done> write_png(const Pixels& pixels, const std::filesystem::path& file) {
  png_image image{};
  image.version = PNG_IMAGE_VERSION;
  image.width = static_cast<png_uint_32>(pixels.width);
  image.height = static_cast<png_uint_32>(pixels.height);
  image.format = PNG_FORMAT_RGB;
  image.flags = PNG_IMAGE_FLAG_FAST;
  std::vector<std::uint8_t> rgb;
  rgb.reserve(pixels.rgba.size() / 4 * 3);
  for (std::size_t i = 0; i + 3 < pixels.rgba.size(); i += 4) {
    rgb.insert(rgb.end(), {pixels.rgba[i], pixels.rgba[i + 1], pixels.rgba[i + 2]});
  }
  if (png_image_write_to_file(&image, file.c_str(), 0, rgb.data(), 0, nullptr) == 0) {
    return Error{std::string("the picture could not be written: ") + image.message, file.string(),
                 "choose a place that you may write to"};
  }
  return Done{};
}

}  // namespace strumwright::window
