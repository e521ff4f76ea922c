#pragma once

#include "app/host.h"
#include "web_runner.h"

namespace intercusp {

/// The web page as host: each call goes to `Module.host` (page/host.js).
class WebHost : public Host {
 public:
  void offer_file(const std::string& name, const std::string& media_type,
                  const std::vector<std::uint8_t>& bytes) override;
  void ask_for_files() override;
  void set_clipboard(const std::string& text) override;
  std::string link_for(const std::string& fragment) override;
  bool can_forget() const override { return true; }
  void forget_everything() override;
  void keep_work(const std::string& case_id, const std::vector<std::uint8_t>& case_bytes,
                 const std::string& view_json) override;
  void keep_setting(const std::string& key, const std::string& value) override;
  std::string setting(const std::string& key) override;
  bool review(const nlohmann::json& request, const std::vector<std::uint8_t>& bytes) override;
  bool practice(const nlohmann::json& request) override;
  HostStamp stamp() override;
  void announce(const std::string& text) override;
  ErrandRunner* errand_runner() override { return &runner_; }
  WebRunner& runner() { return runner_; }

 private:
  WebRunner runner_;
};

}  // namespace intercusp
