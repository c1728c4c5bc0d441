# Writes the page's texts as a C++ file: one raw string a file, under the file's name. Run at build time.
#   cmake -DOUT=page_texts.cpp "-DFILES=a.html;b.js" -P embed.cmake
set(text "// Made by tools/page/embed.cmake from the files of tools/page.\n#include \"tools/keyfall/page_texts.h\"\n\n")
string(APPEND text "namespace keyfall {\n\nconst std::map<std::string, std::string>& pageTexts() {\n")
string(APPEND text "    static const std::map<std::string, std::string> texts = {\n")
foreach(file IN LISTS FILES)
    get_filename_component(name "${file}" NAME)
    file(READ "${file}" content)
    string(APPEND text "{\"${name}\", R\"~page~(${content})~page~\"},\n")
endforeach()
string(APPEND text "    };\n    return texts;\n}\n\n}  // namespace keyfall\n")
file(WRITE "${OUT}" "${text}")
