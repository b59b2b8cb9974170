#include "desk/window.hpp"

#define GL_GLEXT_PROTOTYPES
#include <GL/gl.h>
#include <GL/glext.h>
#include <GLFW/glfw3.h>
#include <backends/imgui_impl_glfw.h>
#include <backends/imgui_impl_opengl3.h>
#include <cairo.h>

#include <algorithm>
#include <future>
#include <utility>

#include "units/error.hpp"

namespace cranknote::desk {

namespace {

void on_drop(GLFWwindow* window, int count, const char** paths) {
    static_cast<Window*>(glfwGetWindowUserPointer(window))->dropped(count, paths);
}

void on_key(GLFWwindow* window, int key, int scancode, int action, int) {
    if (action == GLFW_REPEAT) return;  // the library repeats by itself
    const auto kind = action == GLFW_PRESS ? KeyEvent::Kind::press : KeyEvent::Kind::release;
    static_cast<Window*>(glfwGetWindowUserPointer(window))->keyed({kind, key, scancode, 0});
}

void on_character(GLFWwindow* window, unsigned character) {
    static_cast<Window*>(glfwGetWindowUserPointer(window))
        ->keyed({KeyEvent::Kind::character, 0, 0, character});
}

void hand_over(GLFWwindow* window, const KeyEvent& e) {
    if (e.kind == KeyEvent::Kind::character)
        ImGui_ImplGlfw_CharCallback(window, e.character);
    else
        ImGui_ImplGlfw_KeyCallback(window, e.key, e.scancode,
                                   e.kind == KeyEvent::Kind::press ? GLFW_PRESS : GLFW_RELEASE, 0);
}

[[noreturn]] void no_window(const std::string& trouble) {
    const char* why = nullptr;
    glfwGetError(&why);
    glfwTerminate();
    throw Error(trouble, why ? why : "", "use the command line: cranknote --help");
}

}  // namespace

Window::Window(const WindowWish& wish) : atlas_(std::make_unique<ImFontAtlas>()) {
    // Drawing the type takes as long as opening a display: both at once.
    auto type = std::async(std::launch::async,
                           [&atlas = *atlas_, look = make_look(look_.theme.mode, wish.scale)]() mutable {
                               load_fonts(look, atlas);
                               return look;
                           });
    if (!glfwInit()) no_window("there is no display");
    glfwWindowHint(GLFW_CONTEXT_VERSION_MAJOR, 3);
    glfwWindowHint(GLFW_CONTEXT_VERSION_MINOR, 2);
    glfwWindowHint(GLFW_OPENGL_PROFILE, GLFW_OPENGL_CORE_PROFILE);
    glfwWindowHint(GLFW_OPENGL_FORWARD_COMPAT, GLFW_TRUE);
    glfwWindowHint(GLFW_VISIBLE, wish.hidden ? GLFW_FALSE : GLFW_TRUE);
    glfwWindowHintString(GLFW_X11_CLASS_NAME, "cranknote-desk");  // the desktop entry's; both or neither
    glfwWindowHintString(GLFW_X11_INSTANCE_NAME, "cranknote-desk");
    window_ = glfwCreateWindow(wish.width, wish.height, wish.title.c_str(), nullptr, nullptr);
    if (!window_) no_window("no window with OpenGL 3.2 can be opened");
    glfwSetWindowSizeLimits(window_, 640, 480, GLFW_DONT_CARE, GLFW_DONT_CARE);
    glfwMakeContextCurrent(window_);
    glfwSwapInterval(1);
    glfwSetWindowUserPointer(window_, this);
    glfwSetDropCallback(window_, on_drop);
    look_ = type.get();  // before the library has a context, whose counts both would change
    ImGui::CreateContext(atlas_.get());
    auto& io = ImGui::GetIO();
    io.IniFilename = nullptr;
    io.LogFilename = nullptr;
    ImGui_ImplGlfw_InitForOpenGL(window_, true);
    ImGui_ImplOpenGL3_Init("#version 150");
    glfwSetKeyCallback(window_, on_key);  // in place of the library's, which hand_over() calls in time
    glfwSetCharCallback(window_, on_character);
}

Window::~Window() {
    if (frame_buffer_ != 0) glDeleteFramebuffers(1, &frame_buffer_);
    if (texture_ != 0) glDeleteTextures(1, &texture_);
    ImGui_ImplOpenGL3_Shutdown();
    ImGui_ImplGlfw_Shutdown();
    ImGui::DestroyContext();
    glfwDestroyWindow(window_);
    glfwTerminate();
}

void Window::use(const Look& look) {
    const bool same_type = !look_.cuts.empty() && look_.scale == look.scale;
    auto cuts = std::move(look_.cuts);
    look_ = look;
    look_.cuts = std::move(cuts);
    if (!same_type) {
        load_fonts(look_, *atlas_);
        ImGui_ImplOpenGL3_DestroyFontsTexture();
        ImGui_ImplOpenGL3_CreateFontsTexture();
    }
    apply_style(look_);
}

void Window::begin_frame() {
    ImGui_ImplOpenGL3_NewFrame();
    ImGui_ImplGlfw_NewFrame();
    for (const auto& e : keys_.for_a_frame()) {
        hand_over(window_, e);
        keys_seen_ += e.kind == KeyEvent::Kind::press ? 1 : 0;
    }
    ImGui::NewFrame();
    characters_seen_ += ImGui::GetIO().InputQueueCharacters.Size;  // before a text field empties the queue
}

void Window::end_frame() {
    if (!ImGui::GetDrawData()) ImGui::Render();
    int width = 0, height = 0;
    glfwGetFramebufferSize(window_, &width, &height);
    glViewport(0, 0, width, height);
    const auto paper = look_.colour(Tone::paper);
    glClearColor(static_cast<float>(paper.red), static_cast<float>(paper.green),
                 static_cast<float>(paper.blue), 1);
    glClear(GL_COLOR_BUFFER_BIT);
    ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
    glfwSwapBuffers(window_);
}

void Window::begin_offscreen(int width, int height) {
    if (frame_buffer_ == 0) {
        glGenTextures(1, &texture_);
        glBindTexture(GL_TEXTURE_2D, texture_);
        glTexImage2D(GL_TEXTURE_2D, 0, GL_RGBA8, width, height, 0, GL_RGBA, GL_UNSIGNED_BYTE, nullptr);
        glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MIN_FILTER, GL_LINEAR);
        glGenFramebuffers(1, &frame_buffer_);
        glBindFramebuffer(GL_FRAMEBUFFER, frame_buffer_);
        glFramebufferTexture2D(GL_FRAMEBUFFER, GL_COLOR_ATTACHMENT0, GL_TEXTURE_2D, texture_, 0);
        if (glCheckFramebufferStatus(GL_FRAMEBUFFER) != GL_FRAMEBUFFER_COMPLETE)
            throw Error("a picture of this size cannot be drawn", "", "choose a smaller one");
    }
    ImGui_ImplOpenGL3_NewFrame();
    auto& io = ImGui::GetIO();
    io.DisplaySize = {static_cast<float>(width), static_cast<float>(height)};
    io.DisplayFramebufferScale = {1, 1};
    io.DeltaTime = 1.0f / 30.0f;
    ImGui::NewFrame();
}

std::vector<unsigned char> Window::end_offscreen(int width, int height) {
    ImGui::Render();
    glBindFramebuffer(GL_FRAMEBUFFER, frame_buffer_);
    glViewport(0, 0, width, height);
    const auto paper = look_.colour(Tone::paper);
    glClearColor(static_cast<float>(paper.red), static_cast<float>(paper.green),
                 static_cast<float>(paper.blue), 1);
    glClear(GL_COLOR_BUFFER_BIT);
    ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
    const auto row = static_cast<std::size_t>(width) * 4, rows = static_cast<std::size_t>(height);
    std::vector<unsigned char> upside_down(row * rows), pixels(row * rows);
    glPixelStorei(GL_PACK_ALIGNMENT, 1);
    glReadPixels(0, 0, width, height, GL_RGBA, GL_UNSIGNED_BYTE, upside_down.data());
    for (std::size_t y = 0; y < rows; ++y)
        std::copy_n(upside_down.begin() + static_cast<std::ptrdiff_t>((rows - 1 - y) * row), row,
                    pixels.begin() + static_cast<std::ptrdiff_t>(y * row));
    return pixels;
}

void Window::wait(std::optional<double> seconds) {
    if (!seconds)
        glfwWaitEvents();
    else if (*seconds > 0.0)
        glfwWaitEventsTimeout(*seconds);
    else
        glfwPollEvents();
}

bool Window::wants_to_close() const { return glfwWindowShouldClose(window_) != 0; }
void Window::stay_open() { glfwSetWindowShouldClose(window_, GLFW_FALSE); }
void Window::set_title(const std::string& title) { glfwSetWindowTitle(window_, title.c_str()); }

double Window::desktop_scale() const {
    float x = 1.0f, y = 1.0f;
    glfwGetWindowContentScale(window_, &x, &y);
    return std::clamp(static_cast<double>(std::max(x, y)), 1.0, 3.0);
}

std::vector<std::string> Window::take_dropped() { return std::exchange(dropped_, {}); }

void Window::dropped(int count, const char** paths) {
    for (int i = 0; i < count; ++i) dropped_.emplace_back(paths[i]);
}

void Window::wake() { glfwPostEmptyEvent(); }

void write_png(const std::string& file, const std::vector<unsigned char>& rgba, int width, int height) {
    std::vector<unsigned char> bgra(rgba.size());
    for (std::size_t i = 0; i + 3 < rgba.size(); i += 4) {
        bgra[i] = rgba[i + 2];
        bgra[i + 1] = rgba[i + 1];
        bgra[i + 2] = rgba[i];
        bgra[i + 3] = 255;
    }
    auto* surface =
        cairo_image_surface_create_for_data(bgra.data(), CAIRO_FORMAT_RGB24, width, height, width * 4);
    const auto status = cairo_surface_write_to_png(surface, file.c_str());
    cairo_surface_destroy(surface);
    if (status != CAIRO_STATUS_SUCCESS)
        throw Error("the picture cannot be written", file, cairo_status_to_string(status));
}

}  // namespace cranknote::desk
