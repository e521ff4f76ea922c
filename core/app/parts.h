#pragma once

#include "app/app.h"
#include "app/panels/panels.h"
#include "app/render/panel_painter.h"
#include "app/render/renderer.h"
#include "app/view/hands.h"
#include "app/work/workspace.h"

namespace intercusp {

/// What a picture of the scene was drawn from: the same again needs no drawing.
struct SceneKey {
  std::uint64_t readings = 0, gaps = 0, splint = 0, removal = 0;
  std::vector<double> cameras;
  std::vector<float> look;
  bool operator==(const SceneKey& o) const {
    return readings == o.readings && gaps == o.gaps && splint == o.splint && removal == o.removal &&
           cameras == o.cameras && look == o.look;
  }
};

struct App::Parts {
  explicit Parts(Host& host) : w(host) {
    w.picture_of_view = [this] { return picture_of_view(); };
  }

  Workspace w;
  Renderer renderer;
  PanelPainter painter;
  Hands hands;
  bool gpu = false, own_context = false;
  float font_scale = 0;
  bool fonts_uploaded = false;
  bool sample_due = false;
  double words_since = -1;  ///< when what a person waits for began, on the app's clock; negative = nothing
  bool pictured = false;    ///< this frame shows the bare view with its caption, for a picture
  SceneKey drawn;
  Rect drawn_area;  ///< of the window, device pixels
  std::uint64_t gaps_version = 0;
  SurfacePtr thickness_of;                                  ///< the splint whose buffers hold its thickness
  std::vector<std::pair<SurfacePtr, std::uint64_t>> zoned;  ///< zones that the buffers hold, with their version
  bool slow = false;          ///< whole frames took too long while something moved: draw lighter from now on
  bool moved_before = false;  ///< the frame before this one moved something too
  std::uint64_t kept_revision = 0;
  double keep_after = 0;
  int keeps_under_way = 0;

  void begin_frame(const WindowState& window);
  /// The window: panels beside the view, the view, and what stands over it.
  void paint(const Rect& area, int height);
  /// Draws what the view shows, away from the screen, where anything of it changed; false when it shows nothing.
  bool bring_up_view(const Rect& area);
  /// Draws the scene anew where anything of it changed since.
  void bring_up_scene(const Rect& area);
  /// Coarse bodies of a shared case that is on its way, which a hand may turn.
  void bring_up_first_picture(const Rect& area);
  void keep_buffers();
  /// The active view as it looks now, without what is written over it.
  RgbPicture picture_of_view();
  void draw_panels(const Screen& screen);
  /// Gives how far down messages may stand.
  float draw_over_views(const Screen& screen);
  /// Hands the active view out as it stands in the framebuffer.
  void take_picture(int height);
  void update_contacts();
  /// Brings painted zones to the bodies' buffers.
  void update_zones();
  void update_thickness();
  /// Uses what was answered beside the screen since the last frame.
  void take_answers();
  /// Opens the sample of a first visit.
  void open_first_sample();
  void say_not_opened(const Error& trouble);
  void keep_work();
};

}  // namespace intercusp
