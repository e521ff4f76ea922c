// A shared case on a stage: the host's part is played here, and a second person who writes entries of their own.
#pragma once

#include <string>
#include <vector>

#include "review/sharing.h"
#include "stage.h"

namespace intercusp::window {

/// The other person, with a copy of the case, without a screen.
class Partner {
 public:
  explicit Partner(Stage& stage);
  /// The stage shares its case; the partner reads it and is here.
  void share();
  /// The stage opens a link to a case that the partner shared.
  void invite(bool may_change);
  /// Everything that the stage sent since the last call arrives here.
  void read();
  /// Writes an entry and has it arrive on the stage.
  void write(nlohmann::json fields);
  /// Changes a movement of plan A and has it arrive.
  void move_upper(double forward_mm);
  void agree(const char* part);
  /// A live message; `moves` as docs/review-protocol.md has it, or null.
  void live(const nlohmann::json& moves = nullptr, const std::string& body = "", const Vec3& point = Vec3::Zero());
  const SharedCase& shared() const { return sharing_.shared(); }
  Document& document() { return document_; }

  std::string name = "M. Brandt", role = "surgeon";

 private:
  EntryStamp stamp();
  void deliver(const std::vector<std::string>& bodies);
  Stage& stage_;
  Sharing sharing_;
  Document document_;
  std::string plan_ = "A";
  std::size_t read_ = 0;
  std::uint64_t stamps_ = 0, lives_ = 0;
};

/// Scenes for pictures and checks.
void share_and_talk(Stage& stage, Partner& partner);

}  // namespace intercusp::window
