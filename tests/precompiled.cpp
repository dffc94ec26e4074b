// A program needs a source; what matters are the precompiled headers.
int main() {}
