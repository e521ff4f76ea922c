#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include <nlohmann/json_fwd.hpp>

namespace intercusp {

class ErrandRunner;
class SampleShelf;

/// What makes an entry of a shared case its own: 16 random bytes in base64url, and milliseconds since 1970.
struct HostStamp {
  std::string id;
  std::int64_t time_ms = 0;
};

/// What the shared program asks of the place it runs in: one implementation in native/, one in web/.
class Host {
 public:
  virtual ~Host() = default;
  /// Hands a finished file to the person: a download on the web, a save dialog or path natively.
  virtual void offer_file(const std::string& name, const std::string& media_type,
                          const std::vector<std::uint8_t>& bytes) = 0;
  /// Lets the person pick files; they arrive later through App::open_file.
  virtual void ask_for_files() = 0;
  /// Paths of cases opened or saved lately that are still there, the newest first; none where files are handed over.
  virtual std::vector<std::string> recent_files() { return {}; }
  /// One of them arrives later through App::open_file.
  virtual void open_recent(const std::string& path) { (void)path; }
  virtual void set_clipboard(const std::string& text) = 0;
  /// Whether a link comes by copying it, for want of an address bar. What is copied when it is asked for comes later
  /// through App::open_fragment.
  virtual bool opens_copied_links() const { return false; }
  virtual void ask_for_copied_link() {}
  /// Link that opens this case elsewhere; `fragment` goes behind '#'. Natively the address of the configured server.
  virtual std::string link_for(const std::string& fragment) = 0;
  /// Keeps the work in the place's own storage; called off the frame when something changed, and with empty bytes to
  /// forget it.
  virtual void keep_work(const std::string& case_id, const std::vector<std::uint8_t>& case_bytes,
                         const std::string& view_json) = 0;
  /// Whether this place can be told to forget all it keeps, and that: the work, the settings, keys and copies. The
  /// program begins anew.
  virtual bool can_forget() const { return false; }
  virtual void forget_everything() {}
  /// Small settings (theme, panel folds); survives restarts.
  virtual void keep_setting(const std::string& key, const std::string& value) = 0;
  virtual std::string setting(const std::string& key) = 0;
  /// Who does what takes longer than a frame; none: it is done on the screen's own thread. Lives as long as the host.
  virtual ErrandRunner* errand_runner() { return nullptr; }
  /// Where samples that were made before are kept; null: nowhere.
  virtual std::shared_ptr<SampleShelf> sample_shelf() { return nullptr; }
  /// Reviewing a case with others: keys, seals, server and the others are the host's. `request` is {"ask": ...} (docs/
  /// page-interface.md, "Review"); `bytes` belong to it. Answers come later through App::review_event. False: this
  /// place has no way to others.
  virtual bool review(const nlohmann::json& request, const std::vector<std::uint8_t>& bytes) {
    (void)request, (void)bytes;
    return false;
  }
  /// What practice needs of keys and a server. False: this place has no keys. Else the answer, with the request's
  /// "number", comes later through App::practice_event; {"event": "trouble", "asked", "what"} where it failed. Bytes
  /// are base64url.
  ///   {"ask": "sign", "bytes"}                         {"event": "signed", "key", "signature"}, see set_result.h
  ///   {"ask": "check", "results": [{"key", "signature", "bytes"}]}     {"event": "checked", "sound": [true or false]}
  ///   {"ask": "inbox", "set", "days"}                  {"event": "inbox", "set", "inbox", "ends"}, see set_link.h
  ///   {"ask": "send", "server", "inbox", "set", "result"}              {"event": "sent"}
  ///   {"ask": "fetch", "folder", "set"}                {"event": "fetched", "results": [codes], "left_out": [why]}
  ///   {"ask": "delete_inbox", "folder"}                {"event": "inbox_deleted"}
  ///   {"ask": "graded", "set", "days"}                 {"event": "graded", "set", "ticket", "ends"}, see graded_set.h
  ///   {"ask": "question", "server", "sealed", "at"}    {"event": "question", "bytes": binary}, see shown_question.h
  virtual bool practice(const nlohmann::json& request) {
    (void)request;
    return false;
  }
  virtual HostStamp stamp() { return {}; }
  /// Words for assistive technology (a live region on the web); may do nothing.
  virtual void announce(const std::string& text) = 0;
};

/// The window as it is this frame.
struct WindowState {
  int framebuffer_width = 0, framebuffer_height = 0;  ///< device pixels
  float width = 0, height = 0;                        ///< logical pixels
  float scale = 1;                                    ///< device pixels per logical pixel
  bool touch = false;                                 ///< the last pointer was a finger
  bool prefers_dark = false, reduced_motion = false;
  double seconds = 0;  ///< monotonic
};

}  // namespace intercusp
