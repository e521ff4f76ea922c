#pragma once

#include "anatomy/arch_layout.h"
#include "anatomy/sample_jaws.h"

namespace intercusp {

/// The upper arch of a recipe and the line of contacts it stands on.
struct UpperArch {
  ArchTeeth teeth;
  BetaArch form;
  Vec2 apex = Vec2::Zero();  ///< front end of the line, patient x and y
};

/// Teeth with their forms and usual stances, not yet standing anywhere; individual differences by the recipe's seed.
ArchTeeth make_teeth(const JawRecipe& recipe, bool upper);

/// Stands the upper teeth so that the widths asked for are met and the origin lies between the central edges. Error
/// when no arch form has these widths.
Result<UpperArch> stand_upper(const JawRecipe& recipe);

}  // namespace intercusp
