// All kernels that shade, in the order in which they need each other.
#include "passes/rays.glsl"
#include "kernels/glass.glsl"
#include "kernels/nodes.glsl"
#include "kernels/sun.glsl"
#include "kernels/lamp.glsl"
#include "kernels/distribution.glsl"
#include "kernels/window.glsl"
#include "kernels/shade.glsl"
