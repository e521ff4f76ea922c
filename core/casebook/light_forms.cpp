#include "casebook/light_forms.h"

#include <algorithm>

#include "geometry/lighter_form.h"

namespace intercusp {

SurfacePtr LightForms::of(const SurfacePtr& body) {
  constexpr double kAim = 0.05, kAtMost = 0.3;  // mm: numbers in motion are told to about a tenth
  constexpr std::size_t kKept = 24;             // more than two plans in pieces have
  if (!body) return body;
  const auto found = std::find_if(forms_.begin(), forms_.end(), [&](const Form& form) { return form.body == body; });
  if (found != forms_.end()) {
    forms_.splice(forms_.begin(), forms_, found);
  } else {
    forms_.push_front({body, lighter_form(body, kAim, kAtMost).surface});
    if (forms_.size() > kKept) forms_.pop_back();
  }
  return forms_.front().light;
}

Case LightForms::of(const Case& c) {
  Case light = c;
  for (Body& body : light.bodies) body.surface = of(body.surface);
  return light;
}

}  // namespace intercusp
