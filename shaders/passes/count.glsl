// Nothing: only whether any pixel is left at a depth is of interest.
out vec4 result;

void main() { result = vec4(0.0); }
