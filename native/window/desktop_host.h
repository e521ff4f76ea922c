#pragma once

#include <string>
#include <utility>
#include <vector>

#include "app/host.h"
#include "share/live_review.h"
#include "share/practice_keys.h"
#include "window/errand_thread.h"
#include "window/file_dialog.h"
#include "window/kept_work.h"

struct GLFWwindow;

namespace intercusp {

/// The desktop as host: finished files go into the case's folder, work in progress and settings into the XDG folders,
/// words into the window's title.
class DesktopHost : public Host {
 public:
  DesktopHost();

  void attach(GLFWwindow* window) { window_ = window; }
  /// Finished files go beside this case from now on; it is among those opened lately.
  void set_case_path(const std::string& path);
  /// What open_recent asked for, once; else empty.
  std::string take_recent() { return std::exchange(recent_wanted_, {}); }
  FileDialog& dialog() { return dialog_; }
  const WorkKeeper& work() const { return work_; }
  /// Cases are shared on this server from now on; kept.
  void use_server(const std::string& address);
  share::LiveReview& reviews() { return reviews_; }
  share::PracticeKeys& practice_keys() { return practice_keys_; }
  /// What is in the clipboard when the person asked for the link there, once; else empty.
  std::string take_copied_link();
  /// Says something where the person sees it: in the title, and on standard error.
  void say(const std::string& words);

  void offer_file(const std::string& name, const std::string& media_type,
                  const std::vector<std::uint8_t>& bytes) override;
  void ask_for_files() override;
  std::vector<std::string> recent_files() override;
  void open_recent(const std::string& path) override { recent_wanted_ = path; }
  void set_clipboard(const std::string& text) override;
  bool opens_copied_links() const override { return true; }
  void ask_for_copied_link() override { copied_link_wanted_ = true; }
  std::string link_for(const std::string& fragment) override;
  void keep_work(const std::string& case_id, const std::vector<std::uint8_t>& case_bytes,
                 const std::string& view_json) override;
  void keep_setting(const std::string& key, const std::string& value) override;
  std::string setting(const std::string& key) override;
  void announce(const std::string& text) override;
  ErrandRunner* errand_runner() override { return &errands_; }
  std::shared_ptr<SampleShelf> sample_shelf() override { return samples_; }
  bool review(const nlohmann::json& request, const std::vector<std::uint8_t>& bytes) override;
  bool practice(const nlohmann::json& request) override;
  HostStamp stamp() override;

 private:
  std::string target_path(const std::string& name) const;
  std::vector<std::string> listed_files() const;
  void remember_file(const std::string& path);
  std::string server_address() const;

  GLFWwindow* window_ = nullptr;
  std::string case_path_, recent_wanted_;
  WorkKeeper work_;
  Settings settings_;
  FileDialog dialog_;
  std::shared_ptr<SampleShelf> samples_;
  ErrandThread errands_;
  bool copied_link_wanted_ = false;
  share::PracticeKeys practice_keys_;  // these two end first: they wake the window
  share::LiveReview reviews_;
};

}  // namespace intercusp
