#pragma once

#include <map>
#include <memory>
#include <optional>
#include <vector>

#include "app/render/body_buffers.h"
#include "app/render/program_forms.h"
#include "app/render/targets.h"
#include "app/view/camera.h"
#include "formats/jpeg.h"

namespace intercusp {

struct Material {
  Vec3f plain = Vec3f(0.78f, 0.70f, 0.58f);  ///< linear; where the scan has no colours
  float gloss = 0.25f;
  float behind_mm = 0;   ///< drawn as if so much further away
  bool printed = false;  ///< hatched both ways where a section opens it, unlike the jaws
  float map_mm = 0;      ///< above 0: coloured by thickness (set_gap) up to this
  float thin_mm = 0;     ///< hatched where thinner
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
  int overlap_side = 0;  ///< 1 and 2: the two whose common part a section fills; 0: neither
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
  bool moving = false;  ///< half as many pixels each way, no ambient occlusion
  bool light = false;   ///< fewer triangles
  bool multisample = true;
  float scale = 1;
};

/// A part of the framebuffer that is bound, from its lower left corner in device pixels.
RgbPicture read_bound_framebuffer(int x, int y, int width, int height);

/// Draws the bodies into a picture of the view area and puts that picture on the screen.
class Renderer {
 public:
  Renderer();
  void create();
  /// What the driver said against shaders since the last call; empty when it took them all.
  std::string take_trouble();
  /// Builds every form of every shader, for tests: in use each is built when it is first needed.
  void build_all();
  void destroy();
  void forget();

  /// Buffers of the surfaces that are in use; others are let go.
  void keep_only(const std::vector<SurfacePtr>& surfaces);
  void set_gap(const SurfacePtr& surface, const SurfaceLookPtr& look, const std::vector<float>& gap);
  void set_zone(const SurfacePtr& surface, const SurfaceLookPtr& look, const std::vector<std::uint8_t>& painted);

  /// Draws everything anew into the picture of `width` x `height` device pixels.
  void draw(const std::vector<DrawnBody>& bodies, const std::vector<DrawnView>& views, const Look& look, int width,
            int height);
  /// Puts the picture over `width` x `height` pixels of the bound framebuffer; (x, y) is their upper left corner,
  /// `window_height` the framebuffer's.
  void show(int x, int y, int width, int height, int window_height);
  /// Draws a texture over `width` x `height` pixels of the bound framebuffer from their lower left corner, as far as
  /// the scissor lets it.
  void put(GLuint texture, int x, int y, int width, int height);
  /// A part of it, from its upper left corner in device pixels: rows from the top, three bytes a pixel.
  RgbPicture read_picture(const Rect& part) const;
  /// The finished picture, for the loupe: a GL texture, 0 before the first draw.
  unsigned picture() const { return targets().picture(); }

 private:
  BodyBuffers& buffers(const SurfacePtr& surface, const SurfaceLookPtr& look);
  const Targets& targets() const { return coarse_ ? coarse_targets_ : full_targets_; }
  Program& body_form(const DrawnBody& body, const Look& look, bool opened);
  void set_view(Program& program, const DrawnView& view, const Look& look);
  void draw_body(const DrawnBody& body, const DrawnView& view, const Look& look, bool ghost);
  void draw_bodies(const std::vector<DrawnBody>& bodies, const DrawnView& view, const Look& look, bool ghost,
                   bool see_through);
  void draw_scene(const std::vector<DrawnBody>& bodies, const std::vector<DrawnView>& views, const Look& look,
                  bool ghost);
  void mark_overlap(const std::vector<DrawnBody>& bodies, const DrawnView& view, const Look& look);
  void fill_overlap();
  void compose(const DrawnView& view, const Look& look, bool inside_seen);

  ProgramForms body_, compose_, overlap_, picture_;
  Targets full_targets_, coarse_targets_;  ///< both kept: a hand starts and stops often
  bool coarse_ = false;                    ///< which of them holds the last picture
  GLuint maps_ = 0, empty_array_ = 0;
  std::map<SurfacePtr, std::unique_ptr<BodyBuffers>> buffers_;
};

}  // namespace intercusp
