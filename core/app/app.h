#pragma once

#include <functional>
#include <memory>

#include <nlohmann/json_fwd.hpp>

#include "app/host.h"
#include "base/result.h"
#include "casebook/document.h"

namespace intercusp {

/// The whole program behind one window: document, view, panels, renderer. The platform makes the GL ES 3.0 context and
/// the ImGui context's input, then calls frame(). The same code natively and on the web.
class App {
 public:
  explicit App(Host& host);
  ~App();

  /// Creates every GPU object (a GL ES 3.0 context is current). Called again after a lost context.
  void create_gpu_objects();
  /// Forgets GPU objects without calling GL (the context is gone).
  void forget_gpu_objects();

  /// False while nothing changed and no animation runs: the platform then draws nothing. After input call wake().
  bool wants_frame() const;
  /// Seconds after the last frame when the next is needed though nothing happens until then: a message that goes, a
  /// change that waits to be kept. Infinite when none is.
  double next_frame_in() const;
  bool has_case() const;
  /// Something is being done beside the screen; its answer wants a frame.
  bool busy() const;
  /// What changed last is not yet with the host's keep_work.
  bool keeping() const;
  void wake();
  void frame(const WindowState& window);

  /// Opens a case (.glb) or a scan (.stl .ply .obj) or a landmarks file (.json) from memory, told apart by content.
  /// It has happened when the call returns.
  Status open_file(const std::string& name, std::vector<std::uint8_t> bytes);
  /// The same for a hand: where the host has someone for errands it happens later, and trouble is said on the screen.
  /// `then` is called when it has been opened.
  void open_by_hand(const std::string& name, std::vector<std::uint8_t> bytes, const std::function<void()>& then = {});
  /// The same for bytes that the host holds under a number until an errand asks for them.
  void open_held_by_host(const std::string& name, std::uint64_t number);
  /// Opens what a link has behind '#', or the whole link of a shared case or of a set of questions, which says where
  /// its server is.
  Status open_fragment(const std::string& fragment);
  /// Work kept earlier, with how it was looked at.
  Status restore(std::vector<std::uint8_t> case_bytes, const std::string& view_json);
  std::vector<std::uint8_t> save() const;

  /// What the host tells of a case that is reviewed with others (Host::review), with the bytes that belong to it.
  void review_event(const nlohmann::json& event, std::vector<std::uint8_t> bytes);

  /// What the host answers to what practice asked of it (Host::practice).
  void practice_event(const nlohmann::json& event);

  /// Every command that the panels offer, by name (docs/page-interface.md): the page's script interface and the panels
  /// share it.
  Result<nlohmann::json> act(const std::string& name, const nlohmann::json& args);
  nlohmann::json state() const;
  nlohmann::json measures();
  nlohmann::json contact();

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace intercusp
