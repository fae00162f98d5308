// The same arithmetic done by fragments and by a compute shader: what one takes of the other tells how many of a card's units draw.
#pragma once

namespace rakelight {

/// Prints what a loop of eight multiplications and additions of four numbers takes at every pixel, by both, in the current context. Throws
/// std::runtime_error without OpenGL 4.3.
void compare_arithmetic(int width, int height);

}  // namespace rakelight
