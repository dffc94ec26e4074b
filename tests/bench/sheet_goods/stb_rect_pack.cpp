// The general-purpose packer's one definition.
#define STB_RECT_PACK_IMPLEMENTATION
#include <stb/stb_rect_pack.h>
