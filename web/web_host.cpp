#include "web_host.h"

#include <cstdlib>

#include <emscripten/emscripten.h>

#include <nlohmann/json.hpp>

// Bytes are copied out of the program's memory before JavaScript keeps them: that memory may move when it grows.
// clang-format off
EM_JS(void, page_offer_file, (const char* name, const char* type, const void* bytes, int size), {
  Module['host'].offerFile(UTF8ToString(name), UTF8ToString(type), HEAPU8.slice(bytes, bytes + size));
});
EM_JS(void, page_ask_for_files, (), { Module['host'].askForFiles(); });
EM_JS(void, page_set_clipboard, (const char* text), { Module['host'].setClipboard(UTF8ToString(text)); });
EM_JS(char*, page_link_for, (const char* fragment), {
  return Module['host'].text(Module['host'].linkFor(UTF8ToString(fragment)));
});
EM_JS(void, page_keep_work, (const char* id, const void* bytes, int size, const char* view), {
  Module['host'].keepWork(UTF8ToString(id), HEAPU8.slice(bytes, bytes + size), UTF8ToString(view));
});
EM_JS(void, page_forget_everything, (), { Module['host'].forgetEverything(); });
EM_JS(void, page_keep_setting, (const char* key, const char* value), {
  Module['host'].keepSetting(UTF8ToString(key), UTF8ToString(value));
});
EM_JS(char*, page_setting, (const char* key), {
  return Module['host'].text(Module['host'].setting(UTF8ToString(key)));
});
EM_JS(int, page_review, (const char* request, const void* bytes, int size), {
  return Module['host'].review(UTF8ToString(request), HEAPU8.slice(bytes, bytes + size));
});
EM_JS(int, page_practice, (const char* request), { return Module['host'].practice(UTF8ToString(request)); });
EM_JS(char*, page_stamp, (), { return Module['host'].text(Module['host'].stamp()); });
EM_JS(void, page_announce, (const char* text), { Module['host'].announce(UTF8ToString(text)); });
// clang-format on

namespace intercusp {
namespace {

/// Takes over a string that the page placed in the program's memory.
std::string taken(char* text) {
  const std::string copy = text;
  std::free(text);
  return copy;
}

}  // namespace

void WebHost::offer_file(const std::string& name, const std::string& media_type,
                         const std::vector<std::uint8_t>& bytes) {
  page_offer_file(name.c_str(), media_type.c_str(), bytes.data(), static_cast<int>(bytes.size()));
}

void WebHost::ask_for_files() {
  page_ask_for_files();
}

void WebHost::set_clipboard(const std::string& text) {
  page_set_clipboard(text.c_str());
}

std::string WebHost::link_for(const std::string& fragment) {
  return taken(page_link_for(fragment.c_str()));
}

void WebHost::forget_everything() {
  page_forget_everything();
}

void WebHost::keep_work(const std::string& case_id, const std::vector<std::uint8_t>& case_bytes,
                        const std::string& view_json) {
  page_keep_work(case_id.c_str(), case_bytes.data(), static_cast<int>(case_bytes.size()), view_json.c_str());
}

void WebHost::keep_setting(const std::string& key, const std::string& value) {
  page_keep_setting(key.c_str(), value.c_str());
}

std::string WebHost::setting(const std::string& key) {
  return taken(page_setting(key.c_str()));
}

bool WebHost::review(const nlohmann::json& request, const std::vector<std::uint8_t>& bytes) {
  const std::string text = request.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
  return page_review(text.c_str(), bytes.data(), static_cast<int>(bytes.size())) != 0;
}

bool WebHost::practice(const nlohmann::json& request) {
  return page_practice(request.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace).c_str()) != 0;
}

HostStamp WebHost::stamp() {
  const std::string text = taken(page_stamp());
  const std::size_t gap = text.find(' ');
  if (gap == std::string::npos) return {};
  return {text.substr(0, gap), static_cast<std::int64_t>(std::strtoll(text.c_str() + gap, nullptr, 10))};
}

void WebHost::announce(const std::string& text) {
  page_announce(text.c_str());
}

}  // namespace intercusp
