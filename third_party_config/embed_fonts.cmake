# Puts font files into the program as byte arrays, so that it needs no file at run time.
#
# strumwright_embed_fonts(TARGET) gives TARGET the header "fonts_embedded.h" with, for each font,
#   inline constexpr unsigned char <name>[] and its size as sizeof(<name>).
# A missing font stops the configuration with a sentence, not the program at run time.

set(strumwright_fonts
  "b612_regular=/usr/share/fonts/opentype/b612/B612-Regular.otf"
  "b612_bold=/usr/share/fonts/opentype/b612/B612-Bold.otf"
  "b612_mono=/usr/share/fonts/opentype/b612/B612Mono-Regular.otf"
  "dejavu_sans_bold=/usr/share/fonts/truetype/dejavu/DejaVuSans-Bold.ttf")

function(strumwright_embed_fonts target)
  set(directory ${CMAKE_BINARY_DIR}/embedded)
  set(header ${directory}/fonts_embedded.h)
  set(files)
  foreach(font ${strumwright_fonts})
    string(REGEX REPLACE "^[^=]*=" "" file ${font})
    if(NOT EXISTS ${file})
      message(FATAL_ERROR "The font ${file} is missing: run third_party_config/install build")
    endif()
    list(APPEND files ${file})
  endforeach()
  add_custom_command(
    OUTPUT ${header}
    COMMAND ${CMAKE_COMMAND} "-DFONTS=${strumwright_fonts}" -DHEADER=${header}
            -P ${CMAKE_SOURCE_DIR}/third_party_config/write_fonts.cmake
    DEPENDS ${files} ${CMAKE_SOURCE_DIR}/third_party_config/write_fonts.cmake
    VERBATIM)
  target_sources(${target} PRIVATE ${header})
  target_include_directories(${target} PRIVATE ${directory})
endfunction()
