#include "anatomy/proposal_sd.h"

#include <algorithm>
#include <cmath>

#include "anatomy/tooth_proposal.h"

namespace intercusp {

namespace {

// The distribution function of the length of a vector of three standard normal numbers (Maxwell), at x.
double maxwell(double x) {
  constexpr double kRootTwoOverPi = 0.79788456080286536;
  return std::erf(x / std::sqrt(2.0)) - kRootTwoOverPi * x * std::exp(-0.5 * x * x);
}

}  // namespace

double proposal_sd_mm(double confidence) {
  const double chance = std::clamp(confidence, 0.02, 0.999);
  double less = 0, more = 6;  // of kLandmarkWithin, in standard deviations
  for (int i = 0; i < 20; ++i) {
    const double middle = 0.5 * (less + more);
    (maxwell(middle) < chance ? less : more) = middle;
  }
  return kLandmarkWithin / more;
}

}  // namespace intercusp
