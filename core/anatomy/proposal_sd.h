#pragma once

namespace intercusp {

/// How far a proposed landmark may lie from where a person would put it, as one standard deviation per axis in mm,
/// given the chance (0 to 1) that it lies within kLandmarkWithin: the same normal error along each of three axes, whose
/// length then has a Maxwell distribution. Chances outside 0.02 to 0.999 count as these ends. To a
/// hundred-thousandth, by 20 evaluations of erf.
double proposal_sd_mm(double confidence);

}  // namespace intercusp
