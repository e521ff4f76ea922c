#include "serve/site_answer.h"

#include <algorithm>
#include <cctype>
#include <cstdlib>
#include <sstream>

#include "serve/wire/ids.h"

namespace intercusp {
namespace {

std::string trimmed(const std::string& text) {
  const auto first = text.find_first_not_of(" \t");
  if (first == std::string::npos) return {};
  return text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

std::string lower(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(), [](unsigned char c) { return std::tolower(c); });
  return text;
}

std::vector<std::string> list_of(const std::string& header) {
  std::vector<std::string> items;
  std::istringstream in(header);
  for (std::string item; std::getline(in, item, ',');) {
    item = trimmed(item);
    if (!item.empty()) items.push_back(item);
  }
  return items;
}

/// Quality of a content coding in Accept-Encoding; negative when it is not named.
double quality(const std::vector<std::string>& accepted, const std::string& coding) {
  for (const std::string& item : accepted) {
    const auto semicolon = item.find(';');
    if (lower(trimmed(item.substr(0, semicolon))) != coding) continue;
    if (semicolon == std::string::npos) return 1;
    const std::string parameter = lower(trimmed(item.substr(semicolon + 1)));
    return parameter.rfind("q=", 0) == 0 ? std::strtod(parameter.c_str() + 2, nullptr) : 1;
  }
  return -1;
}

/// Takes scheme and authority off an absolute-form target.
std::string origin_form(const std::string& target) {
  for (const char* scheme : {"http://", "https://"}) {
    if (lower(target.substr(0, std::string(scheme).size())) != scheme) continue;
    const auto slash = target.find('/', std::string(scheme).size());
    return slash == std::string::npos ? "/" : target.substr(slash);
  }
  return target;
}

}  // namespace

void add_shared_headers(HttpAnswer& answer) {
  const std::pair<const char*, const char*> shared[] = {
      {"Content-Security-Policy",
       "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' blob:; "
       "connect-src 'self'; worker-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; "
       "frame-ancestors 'none'"},
      {"Cross-Origin-Opener-Policy", "same-origin"},
      {"Cross-Origin-Embedder-Policy", "require-corp"},
      {"Cross-Origin-Resource-Policy", "same-origin"},
      {"X-Content-Type-Options", "nosniff"},
      {"Referrer-Policy", "no-referrer"},
      {"Permissions-Policy", "camera=(), microphone=(), geolocation=(), payment=(), usb=()"}};
  for (const auto& [name, value] : shared) answer.headers.emplace_back(name, value);
}

std::string decoded_path(const std::string& target) {
  const std::string origin = origin_form(target);
  const std::string path = origin.substr(0, origin.find_first_of("?#"));
  if (path.empty() || path[0] != '/') return {};
  std::string decoded;
  for (std::size_t i = 0; i < path.size(); ++i) {
    if (path[i] != '%') {
      decoded += path[i];
      continue;
    }
    if (i + 2 >= path.size()) return {};
    const int high = serve::hex_value(path[i + 1]), low = serve::hex_value(path[i + 2]);
    if (high < 0 || low < 0 || (high == 0 && low == 0)) return {};
    decoded += static_cast<char>(high * 16 + low);
    i += 2;
  }
  return decoded;
}

std::string chosen_coding(const SiteFile& file, const std::string& accept_encoding) {
  const std::vector<std::string> accepted = list_of(accept_encoding);
  const double any = quality(accepted, "*");
  for (const char* coding : {"br", "gzip"}) {
    const double named = quality(accepted, coding);
    if (file.variants.count(coding) && (named > 0 || (named < 0 && any > 0))) return coding;
  }
  return "identity";
}

bool names_tag(const std::string& if_none_match, const std::string& etag) {
  for (std::string item : list_of(if_none_match)) {
    if (item == "*") return true;
    if (item.rfind("W/", 0) == 0) item.erase(0, 2);
    if (item == etag) return true;
  }
  return false;
}

HttpAnswer error_answer(unsigned status, const std::string& words) {
  HttpAnswer answer;
  answer.status = status;
  answer.text = words + "\n";
  answer.headers.emplace_back("Content-Type", "text/plain; charset=utf-8");
  answer.headers.emplace_back("Cache-Control", "no-store");
  if (status == 405) answer.headers.emplace_back("Allow", "GET, HEAD");
  add_shared_headers(answer);
  return answer;
}

HttpAnswer answer_for(const Site& site, const SiteRequest& request) {
  if (request.method != "GET" && request.method != "HEAD") {
    return error_answer(405, "This server only hands out the web program: GET and HEAD.");
  }
  const std::string path = decoded_path(request.target);
  const SiteFile* file = site.find(path);
  HttpAnswer answer;
  if (path.empty()) {
    answer = error_answer(400, "The address is malformed.");
  } else if (!file) {
    answer = error_answer(404, "There is nothing at this address. The program starts at /");
  } else {
    const std::string coding = chosen_coding(*file, request.accept_encoding);
    const SiteVariant& variant = file->variants.at(coding);
    answer.borrowed = &variant.bytes;
    answer.headers = {{"Content-Type", file->media_type},
                      {"Cache-Control", file->immutable ? "public, max-age=31536000, immutable" : "no-cache"},
                      {"ETag", variant.etag},
                      {"Vary", "Accept-Encoding"}};
    if (coding != "identity") answer.headers.emplace_back("Content-Encoding", coding);
    add_shared_headers(answer);
    if (names_tag(request.if_none_match, variant.etag)) answer.status = 304;
  }
  answer.sends_body = request.method == "GET" && answer.status != 304;
  return answer;
}

}  // namespace intercusp
