// Lighter forms of the bodies of a case, for what is told while a hand moves a jaw.
#pragma once

#include <list>

#include "casebook/case.h"

namespace intercusp {

/// Made once for each body and kept for the last ones asked for.
class LightForms {
 public:
  /// The body itself where nothing lighter comes near it. Cost of lighter_form the first time.
  SurfacePtr of(const SurfacePtr& body);
  /// The case with all its bodies so.
  Case of(const Case& c);

 private:
  struct Form {
    SurfacePtr body, light;
  };
  std::list<Form> forms_;  ///< those asked for last in front
};

}  // namespace intercusp
