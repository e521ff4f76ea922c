#pragma once

#include <map>
#include <memory>
#include <optional>

#include "app/errands/errand.h"

namespace intercusp {

/// A splint that was made, and what it was made from.
struct MadeSplint {
  SplintMade answer;
  bool quick = false;  ///< a quick look: coarse, not to be handed out
  SplintOrder asked;   ///< as the panel had it
};

/// What is asked of the splint, and the splints made so far.
struct SplintWork {
  SplintOrder order;
  std::map<Moment, std::shared_ptr<const MadeSplint>> made;  ///< the last one of each stage
  std::optional<Error> refusal;                              ///< of the last try, until something else is asked for
  bool shown = true;                                         ///< at its stop
  bool thickness = false;                                    ///< its walls coloured by their thickness
  bool paths = true;                                         ///< arrows along which the arches seat
  bool settings_open = true;                                 ///< put away once one is made
  bool all_settings = false, all_thin = false;               ///< lists that begin short
  int chosen_thin = -1;
  /// Before the last mend: what was asked for and what was made, to go back to.
  struct BeforeMend {
    SplintOrder order;
    std::shared_ptr<const MadeSplint> made;
  };
  std::optional<BeforeMend> before_mend;
  std::string holes_text, relief_text;  ///< as they are typed
  std::uint64_t version = 0;            ///< grows whenever another splint is to be drawn

  /// Of the stage asked for; null where none was made.
  std::shared_ptr<const MadeSplint> kept() const {
    const auto found = made.find(order.stage);
    return found == made.end() ? nullptr : found->second;
  }
  const MadeSplint* current() const { return kept().get(); }
};

}  // namespace intercusp
