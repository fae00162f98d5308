namespace rakelight {}
