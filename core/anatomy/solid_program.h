// A bone as a list of steps: shapes added to and cut from what is there.
#pragma once

#include <functional>
#include <vector>

#include "anatomy/isosurface.h"
#include "anatomy/solid_shapes.h"

namespace intercusp {

/// Shapes in two spaces: most stand in a plain, symmetric skull that a recipe bends into the patient's (`plain`, x
/// taken without its sign); what belongs to single teeth stands where it is in the patient (`patient`).
enum class Space { plain, patient };

class SolidProgram : public ScalarField {
 public:
  /// Values are exact within this distance of the surface, and cut off there: far away the next shape is not looked
  /// for.
  static constexpr double kReach = 3;

  /// `plain_from_patient` must move points smoothly and by less than their distances.
  explicit SolidProgram(std::function<Vec3(const Vec3&)> plain_from_patient) : plain_(std::move(plain_from_patient)) {}

  /// Joins a shape on, the joint rounded by `blend_mm`.
  void add(ShapePtr shape, double blend_mm, Space space = Space::plain) {
    push(std::move(shape), blend_mm, false, space);
  }
  /// Takes a shape away.
  void cut(ShapePtr shape, double blend_mm, Space space = Space::plain) {
    push(std::move(shape), blend_mm, true, space);
  }
  std::size_t steps() const { return steps_.size(); }
  /// Sorts the shapes into cells; to be called once, after the last step.
  void finish();

  double value(const Vec3& p) const override { return value_after(p, steps_.size()); }
  /// Of the solid as it was after that many steps.
  double value_after(const Vec3& p, std::size_t steps) const;
  /// Encloses the solid in the patient frame, given that bending moves no point by more than `bend_mm`.
  Box box(double bend_mm) const;

 private:
  struct Step {
    ShapePtr shape;
    Box box;
    double blend_mm;
    bool cuts;
    Space space;
  };
  /// The shapes near each cube of space, by number of their step.
  struct Cells {
    Vec3 origin = Vec3::Zero();
    Eigen::Vector3i size = Eigen::Vector3i::Zero();
    std::vector<std::uint32_t> begin;
    std::vector<std::uint16_t> shapes;
    std::pair<const std::uint16_t*, const std::uint16_t*> near(const Vec3& p) const;
  };
  void push(ShapePtr shape, double blend_mm, bool cuts, Space space);
  Cells cells_of(Space space) const;

  std::function<Vec3(const Vec3&)> plain_;
  std::vector<Step> steps_;
  Cells plain_cells_, patient_cells_;
};

/// The solid of a program before its last steps, for instance before the canals were bored.
class EarlierSolid : public ScalarField {
 public:
  EarlierSolid(const SolidProgram& program, std::size_t steps) : program_(program), steps_(steps) {}
  double value(const Vec3& p) const override { return program_.value_after(p, steps_); }

 private:
  const SolidProgram& program_;
  std::size_t steps_;
};

}  // namespace intercusp
