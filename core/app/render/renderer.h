#pragma once

#include <map>
#include <memory>
#include <optional>
#include <vector>

#include "app/render/body_buffers.h"
#include "app/render/program.h"
#include "app/render/targets.h"
#include "app/view/camera.h"

namespace intercusp {

struct Material {
  Vec3f plain = Vec3f(0.78f, 0.70f, 0.58f);  ///< linear; where the scan has no colours
  float gloss = 0.25f;
  float behind_mm = 0;  ///< drawn as if so much further away
};

enum class GapMode { none = 0, signed_gap = 1, overlap_amount = 2 };

/// Which part of a body is drawn, by its gap to the other jaw: for showing what is left when an overlap comes off, the
/// one body without what lies inside the other, and of the other only what then forms the new surface.
enum class Trim { whole = 0, outside = 1, cut_face = 2 };

/// A body as it is to be drawn in every view.
struct DrawnBody {
  SurfacePtr surface;
  SurfaceLookPtr look;  ///< empty: worked out when first drawn
  Pose patient_from_surface = Pose::Identity();
  Pose start_pose = Pose::Identity();  ///< for the ghost
  Material material;
  Vec3f tint = Vec3f::Ones();
  bool upper = true, lower = false;  ///< which single-jaw views show it
  bool moved = false;
  float opacity = 1;
  Trim trim = Trim::whole;
};

enum class Shown { all, upper, lower };

struct DrawnView {
  Rect rect;  ///< device pixels within the view area, y downwards
  Camera camera;
  Shown shown = Shown::all;
  std::optional<std::pair<Vec3, Vec3>> clip;  ///< patient: point, normal to the side that is taken away
};

struct Look {
  Vec3f background_top, background_bottom, ghost;  ///< sRGB 0..1
  GapMode gap_mode = GapMode::none;
  float gap_limit_mm = 1;
  bool ghost_shown = false;
  bool moving = false;  ///< fewer triangles, half as many pixels each way, no ambient occlusion
  bool multisample = true;
  float scale = 1;
};

/// Draws the bodies into a picture of the view area and puts that picture on the screen.
class Renderer {
 public:
  /// Empty when everything was made; else what the driver said.
  std::string create();
  void destroy();
  void forget();

  /// Buffers of the surfaces that are in use; others are let go.
  void keep_only(const std::vector<SurfacePtr>& surfaces);
  void set_gap(const SurfacePtr& surface, const SurfaceLookPtr& look, const std::vector<float>& gap);

  /// Draws everything anew into the picture of `width` x `height` device pixels.
  void draw(const std::vector<DrawnBody>& bodies, const std::vector<DrawnView>& views, const Look& look, int width,
            int height);
  /// Puts the picture over `width` x `height` pixels of the bound framebuffer; (x, y) is their upper left corner,
  /// `window_height` the framebuffer's.
  void show(int x, int y, int width, int height, int window_height);
  /// The finished picture, for the loupe: a GL texture, 0 before the first draw.
  unsigned picture() const { return targets().picture(); }

 private:
  BodyBuffers& buffers(const SurfacePtr& surface, const SurfaceLookPtr& look);
  const Targets& targets() const { return coarse_ ? coarse_targets_ : full_targets_; }
  void set_view(Program& program, const DrawnView& view, const Look& look);
  void draw_body(const DrawnBody& body, const DrawnView& view, const Look& look, bool ghost);
  void draw_bodies(const std::vector<DrawnBody>& bodies, const DrawnView& view, const Look& look, bool ghost,
                   bool see_through);
  void draw_scene(const std::vector<DrawnBody>& bodies, const std::vector<DrawnView>& views, const Look& look,
                  bool ghost);
  void compose(const DrawnView& view, const Look& look);

  Program body_, opened_body_, compose_, picture_;
  Targets full_targets_, coarse_targets_;  ///< both kept: a hand starts and stops often
  bool coarse_ = false;                    ///< which of them holds the last picture
  GLuint maps_ = 0, empty_array_ = 0;
  std::map<SurfacePtr, std::unique_ptr<BodyBuffers>> buffers_;
};

}  // namespace intercusp
