# Run by rakelight_embed: writes one .cpp holding the bytes of each file.
string(REPLACE "|" ";" FILES "${FILES}")
set(body "#include <string_view>\n#include <vector>\n\nnamespace rakelight {\nnamespace {\nstruct File { std::string_view path, text; };\n")
set(table "")
set(i 0)
foreach(f IN LISTS FILES)
  file(READ ${ROOT}/${f} hex HEX)
  string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${hex}")
  string(APPEND body "const unsigned char bytes_${i}[] = {${bytes}0};\n")
  string(APPEND table "    {\"${f}\", {reinterpret_cast<const char*>(bytes_${i}), sizeof bytes_${i} - 1}},\n")
  math(EXPR i "${i} + 1")
endforeach()
string(APPEND body "const File files[] = {\n${table}    {\"\", \"\"}\n};\n}  // namespace\n"
  "std::string_view ${NAME}(std::string_view path) {\n  for (const File& f : files)\n    if (f.path == path) return f.text;\n  return {};\n}\n"
  "std::vector<std::string_view> ${NAME}_paths() {\n  std::vector<std::string_view> out;\n  for (const File& f : files)\n    if (!f.path.empty()) out.push_back(f.path);\n  return out;\n}\n}  // namespace rakelight\n")
file(WRITE ${OUT} "${body}")
