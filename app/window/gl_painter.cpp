// app/window/gl_painter.cpp
#include "app/window/gl_painter.h"

#include <array>
#include <cassert>
#include <cstddef>
#include <cstring>
#include <utility>

#define GLFW_INCLUDE_NONE  // the loader below declares OpenGL
#include <GLFW/glfw3.h>
#include <backends/imgui_impl_opengl3_loader.h>

namespace strumwright::window {

namespace {

// Source: OpenGL 3.3 Core Profile Specification, table 3.12; the loader's header leaves it out.
constexpr int one_byte_red = 0x8229;        // GL_R8
constexpr unsigned red_component = 0x1903;  // GL_RED

constexpr const char* vertex_source = R"(#version 330 core
layout(location = 0) in vec2 place;
layout(location = 1) in vec2 texture_place;
layout(location = 2) in vec4 colour;
uniform mat4 projection;
out vec2 at;
out vec4 ink;
void main() {
  at = texture_place;
  ink = colour;
  gl_Position = projection * vec4(place, 0.0, 1.0);
}
)";

constexpr const char* fragment_source = R"(#version 330 core
in vec2 at;
in vec4 ink;
uniform sampler2D atlas;
out vec4 result;
void main() { result = vec4(ink.rgb, ink.a * texture(atlas, at).r); }
)";

GLuint compiled(GLenum kind, const char* source) {
  const GLuint shader = glCreateShader(kind);
  glShaderSource(shader, 1, &source, nullptr);
  glCompileShader(shader);
  return shader;
}

/// 0 if it does not link.
GLuint linked_program() {
  const GLuint vertex = compiled(GL_VERTEX_SHADER, vertex_source);
  const GLuint fragment = compiled(GL_FRAGMENT_SHADER, fragment_source);
  const GLuint program = glCreateProgram();
  glAttachShader(program, vertex);
  glAttachShader(program, fragment);
  glLinkProgram(program);
  glDetachShader(program, vertex);
  glDetachShader(program, fragment);
  glDeleteShader(vertex);
  glDeleteShader(fragment);
  GLint done = 0;
  glGetProgramiv(program, GL_LINK_STATUS, &done);
  if (done != 0) return program;
  glDeleteProgram(program);
  return 0;
}

void attribute(GLuint index, GLint size, GLenum type, GLboolean normalized, std::size_t offset) {
  glEnableVertexAttribArray(index);
  // An offset travels as a pointer here, by the interface of OpenGL.
  glVertexAttribPointer(
      index, size, type, normalized, sizeof(ImDrawVert),
      reinterpret_cast<const void*>(offset));  // NOLINT(performance-no-int-to-ptr)
}

std::array<float, 16> projection_of(const Picture& picture) {
  const float w = 2.0F / static_cast<float>(picture.width);
  const float h = -2.0F / static_cast<float>(picture.height);
  return {w, 0, 0, 0, 0, h, 0, 0, 0, 0, -1, 0, -1, 1, 0, 1};
}

}  // namespace

Result<GlPainter> GlPainter::make() {
  const Error too_old = {"this display's OpenGL cannot draw the window", "OpenGL 3.3 is needed",
                         "update the graphics driver, or use `strumwright listen`"};
  const auto loader = [](const char* name) { return glfwGetProcAddress(name); };
  if (imgl3wInit2(loader) != 0 || imgl3wIsSupported(3, 3) == 0) return too_old;
  GlPainter painter;
  painter.program_ = linked_program();
  if (painter.program_ == 0) return too_old;
  painter.projection_ = glGetUniformLocation(painter.program_, "projection");
  glGenVertexArrays(1, &painter.vertex_array_);
  glGenBuffers(1, &painter.vertex_buffer_);
  glGenBuffers(1, &painter.index_buffer_);
  glBindVertexArray(painter.vertex_array_);
  glBindBuffer(GL_ARRAY_BUFFER, painter.vertex_buffer_);
  glBindBuffer(GL_ELEMENT_ARRAY_BUFFER, painter.index_buffer_);
  attribute(0, 2, GL_FLOAT, GL_FALSE, offsetof(ImDrawVert, pos));
  attribute(1, 2, GL_FLOAT, GL_FALSE, offsetof(ImDrawVert, uv));
  attribute(2, 4, GL_UNSIGNED_BYTE, GL_TRUE, offsetof(ImDrawVert, col));
  glUseProgram(painter.program_);
  glUniform1i(glGetUniformLocation(painter.program_, "atlas"), 0);
  glEnable(GL_BLEND);
  glBlendEquation(GL_FUNC_ADD);
  glBlendFuncSeparate(GL_SRC_ALPHA, GL_ONE_MINUS_SRC_ALPHA, GL_ONE, GL_ONE_MINUS_SRC_ALPHA);
  return painter;
}

GlPainter::GlPainter(GlPainter&& other) noexcept
    : program_(std::exchange(other.program_, 0)),
      vertex_array_(std::exchange(other.vertex_array_, 0)),
      vertex_buffer_(std::exchange(other.vertex_buffer_, 0)),
      index_buffer_(std::exchange(other.index_buffer_, 0)),
      texture_(std::exchange(other.texture_, 0)),
      projection_(other.projection_) {}

GlPainter::~GlPainter() {
  if (program_ == 0) return;
  glDeleteTextures(1, &texture_);
  glDeleteBuffers(1, &vertex_buffer_);
  glDeleteBuffers(1, &index_buffer_);
  glDeleteVertexArrays(1, &vertex_array_);
  glDeleteProgram(program_);
}

void GlPainter::use_atlas(const AtlasImage& atlas) {
  glDeleteTextures(1, &texture_);
  glGenTextures(1, &texture_);
  glActiveTexture(GL_TEXTURE0);
  glBindTexture(GL_TEXTURE_2D, texture_);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MIN_FILTER, GL_LINEAR);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MAG_FILTER, GL_LINEAR);
  assert(atlas.width % 4 == 0);  // rows are read at multiples of four bytes
  glTexImage2D(GL_TEXTURE_2D, 0, one_byte_red, atlas.width, atlas.height, 0, red_component,
               GL_UNSIGNED_BYTE, atlas.coverage.data());
}

void GlPainter::draw(const Picture& picture) {
  glDisable(GL_SCISSOR_TEST);
  glViewport(0, 0, picture.width, picture.height);
  const auto share = [](std::uint8_t channel) { return static_cast<float>(channel) / 255.0F; };
  glClearColor(share(picture.ground.red), share(picture.ground.green), share(picture.ground.blue),
               1.0F);
  glClear(GL_COLOR_BUFFER_BIT);
  glBufferData(GL_ARRAY_BUFFER,
               static_cast<GLsizeiptr>(picture.vertices.size() * sizeof(ImDrawVert)),
               picture.vertices.data(), GL_STREAM_DRAW);
  glBufferData(GL_ELEMENT_ARRAY_BUFFER,
               static_cast<GLsizeiptr>(picture.indices.size() * sizeof(ImDrawIdx)),
               picture.indices.data(), GL_STREAM_DRAW);
  const auto projection = projection_of(picture);
  glUniformMatrix4fv(projection_, 1, GL_FALSE, projection.data());
  glEnable(GL_SCISSOR_TEST);
  for (const auto& piece : picture.pieces) {
    glScissor(piece.x, picture.height - piece.y - piece.height, piece.width, piece.height);
    // NOLINTNEXTLINE(performance-no-int-to-ptr): an offset, by the interface of OpenGL
    const auto* offset = reinterpret_cast<const void*>(
        static_cast<std::uintptr_t>(piece.first_index) * sizeof(ImDrawIdx));
    glDrawElementsBaseVertex(GL_TRIANGLES, static_cast<GLsizei>(piece.index_count),
                             sizeof(ImDrawIdx) == 2 ? GL_UNSIGNED_SHORT : GL_UNSIGNED_INT, offset,
                             static_cast<GLint>(piece.first_vertex));
  }
}

Pixels GlPainter::read_back(int width, int height) {
  Pixels pixels{width, height, {}};
  const auto row = static_cast<std::size_t>(width) * 4;
  std::vector<std::uint8_t> bottom_up(row * static_cast<std::size_t>(height));
  glPixelStorei(GL_PACK_ALIGNMENT, 1);
  glReadPixels(0, 0, width, height, GL_RGBA, GL_UNSIGNED_BYTE, bottom_up.data());
  pixels.rgba.resize(bottom_up.size());
  for (int y = 0; y < height; ++y) {
    std::memcpy(pixels.rgba.data() + row * static_cast<std::size_t>(height - 1 - y),
                bottom_up.data() + row * static_cast<std::size_t>(y), row);
  }
  return pixels;
}

}  // namespace strumwright::window
