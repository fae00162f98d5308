# rakelight_embed(TARGET NAME ROOT dir GLOBS pattern...)
# Compiles the text files under ROOT that match into TARGET as
#   std::string_view rakelight::NAME(std::string_view path)   "" when there is no such file
#   std::vector<std::string_view> rakelight::NAME_paths()
# declared in the generated header NAME.h.
function(rakelight_embed target name)
  cmake_parse_arguments(ARG "" "ROOT" "GLOBS" ${ARGN})
  set(files "")
  foreach(pattern IN LISTS ARG_GLOBS)
    file(GLOB found CONFIGURE_DEPENDS RELATIVE ${ARG_ROOT} ${ARG_ROOT}/${pattern})
    list(APPEND files ${found})
  endforeach()
  list(SORT files)
  set(dir ${CMAKE_CURRENT_BINARY_DIR}/embed/${name})
  set(depends "")
  foreach(f IN LISTS files)
    list(APPEND depends ${ARG_ROOT}/${f})
  endforeach()
  string(REPLACE ";" "|" joined "${files}")
  add_custom_command(OUTPUT ${dir}/${name}.cpp
    COMMAND ${CMAKE_COMMAND} -DNAME=${name} -DROOT=${ARG_ROOT} "-DFILES=${joined}" -DOUT=${dir}/${name}.cpp
            -P ${PROJECT_SOURCE_DIR}/src/base/embed_files.cmake
    DEPENDS ${depends} ${PROJECT_SOURCE_DIR}/src/base/embed_files.cmake
    COMMENT "Embedding ${name}" VERBATIM)
  file(WRITE ${dir}/${name}.h.in "#pragma once\n#include <string_view>\n#include <vector>\nnamespace rakelight {\nstd::string_view ${name}(std::string_view path);\nstd::vector<std::string_view> ${name}_paths();\n}\n")
  file(COPY_FILE ${dir}/${name}.h.in ${dir}/${name}.h ONLY_IF_DIFFERENT)
  set_source_files_properties(${dir}/${name}.cpp PROPERTIES SKIP_UNITY_BUILD_INCLUSION ON)  # made while building
  target_sources(${target} PRIVATE ${dir}/${name}.cpp)
  target_include_directories(${target} PUBLIC ${dir})
endfunction()
