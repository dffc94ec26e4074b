#include "widgets/net.hpp"

#include "widgets/widgets.hpp"

#include <exception>
#include <imgui_internal.h>
#include <memory>

namespace aumbry::gui {

namespace {

#if IMGUI_VERSION_NUM < 19130

/// How much was begun and pushed at a point of the frame. Versions before 1.91.3 can only be
/// brought back to the end of a frame: ErrorCheckEndFrameRecover() would end our own window too.
class Begun {
  public:
    Begun()
        : windows_(context().CurrentWindowStack.Size), table_(context().CurrentTable),
          tab_bars_(context().CurrentTabBarStack.Size), menus_(context().BeginMenuCount),
          clip_rects_(window().DrawList->_ClipRectStack.Size) {
        sizes_.SetToCurrentState();
        const ImGuiWindowTempData& now = window().DC;
        layout_ = {now.TreeDepth,
                   now.TreeJumpToParentOnPopMask,
                   now.Indent,
                   now.GroupOffset,
                   now.ColumnsOffset,
                   now.LayoutType,
                   now.ItemWidth,
                   now.TextWrapPos,
                   now.ItemWidthStack.Size,
                   now.TextWrapPosStack.Size};
    }

    /// Ends and pops what came since.
    void end_the_rest() const {
        for (;;) {
            const bool outer = context().CurrentWindowStack.Size <= windows_;
            if (context().CurrentTable != nullptr && !(outer && context().CurrentTable == table_)) {
                end_table();
            } else if (!outer) {
                end_window();
            } else {
                break;
            }
        }
        end_tab_bars(tab_bars_);
        pop(sizes_);
        window().IDStack.resize(sizes_.SizeOfIDStack);
        while (window().DrawList->_ClipRectStack.Size > clip_rects_) ImGui::PopClipRect();
        ImGuiWindowTempData& now = window().DC;
        now.TreeDepth = layout_.tree_depth;
        now.TreeJumpToParentOnPopMask = layout_.tree_jumps;
        now.Indent = layout_.indent;
        now.GroupOffset = layout_.group;
        now.ColumnsOffset = layout_.columns;
        now.LayoutType = layout_.type;
        now.ItemWidth = layout_.item_width;
        now.TextWrapPos = layout_.wrap_at;
        now.ItemWidthStack.resize(layout_.item_widths);
        now.TextWrapPosStack.resize(layout_.wraps);
        now.CursorPos.x = window().Pos.x + now.Indent.x + now.ColumnsOffset.x;
        context().BeginMenuCount = menus_;
        context().NextItemData.ClearFlags();
        context().NextWindowData.ClearFlags();
    }

  private:
    static ImGuiContext& context() { return *ImGui::GetCurrentContext(); }
    static ImGuiWindow& window() { return *context().CurrentWindow; }

    /// How items are laid out in the window.
    struct Layout {
        int tree_depth;
        ImU32 tree_jumps;
        ImVec1 indent, group, columns;
        ImGuiLayoutType type;
        float item_width, wrap_at;
        int item_widths, wraps;
    };

    static void pop(const ImGuiStackSizes& to) {
        ImGuiContext& g = context();
        while (g.DisabledStackSize > to.SizeOfDisabledStack) ImGui::EndDisabled();
        while (g.ItemFlagsStack.Size > to.SizeOfItemFlagsStack) ImGui::PopItemFlag();
        while (g.FocusScopeStack.Size > to.SizeOfFocusScopeStack) ImGui::PopFocusScope();
        if (g.ColorStack.Size > to.SizeOfColorStack)
            ImGui::PopStyleColor(g.ColorStack.Size - to.SizeOfColorStack);
        if (g.StyleVarStack.Size > to.SizeOfStyleVarStack)
            ImGui::PopStyleVar(g.StyleVarStack.Size - to.SizeOfStyleVarStack);
        while (g.FontStack.Size > to.SizeOfFontStack) ImGui::PopFont();
        // What a group would still lay out is not looked at any more.
        if (g.GroupStack.Size > to.SizeOfGroupStack) g.GroupStack.resize(to.SizeOfGroupStack);
    }

    static void end_tab_bars(int to) {
        while (context().CurrentTabBarStack.Size > to) ImGui::EndTabBar();
    }

    static void end_table() {
        ImGuiTable& table = *context().CurrentTable;
        // A table that scrolls has a window of its own, and ends it.
        if (table.InnerWindow != table.OuterWindow)
            pop(context().CurrentWindowStack.back().StackSizesOnBegin);
        ImVector<ImGuiID>& ids = window().IDStack;
        while (ids.Size > 1 && ids.back() != table.ID + static_cast<ImGuiID>(table.InstanceCurrent))
            ids.pop_back();
        ImGui::EndTable();
    }

    static void end_window() {
        const ImGuiStackSizes at_begin = context().CurrentWindowStack.back().StackSizesOnBegin;
        pop(at_begin);
        window().IDStack.resize(1);
        if ((window().Flags & ImGuiWindowFlags_Popup) != 0) {
            ImGui::EndPopup();
        } else if ((window().Flags & ImGuiWindowFlags_ChildWindow) != 0) {
            ImGui::EndChild();
        } else {
            ImGui::End();
        }
    }

    int windows_;
    const ImGuiTable* table_;
    int tab_bars_;
    int menus_;
    int clip_rects_;
    Layout layout_{};
    ImGuiStackSizes sizes_;
};

#else

/// Newer versions remember and recover themselves.
class Begun {
  public:
    Begun() { ImGui::ErrorRecoveryStoreState(&state_); }
    void end_the_rest() const {
        ImGuiContext& context = *ImGui::GetCurrentContext();
        const bool asserts = context.IO.ConfigErrorRecoveryEnableAssert;
        context.IO.ConfigErrorRecoveryEnableAssert = false;
        ImGui::ErrorRecoveryTryToRecoverState(&state_);
        context.IO.ConfigErrorRecoveryEnableAssert = asserts;
    }

  private:
    ImGuiErrorRecoveryState state_;
};

#endif

} // namespace

std::string drawn_or_reason(const std::function<void()>& draw) {
    const Begun begun;
    std::string reason;
    try {
        draw();
        return reason;
    } catch (const std::exception& error) {
        reason = error.what();
    } catch (...) {
        reason = "";
    }
    begun.end_the_rest();
    return reason.empty() ? "something failed without a word" : reason;
}

void draw_over_net(State& state, const std::string& name, const std::function<void()>& draw) {
    const Failure now{"", state.edition, state.answer.estimate, state.selected};
    auto failure = state.failures.find(name);
    const bool again =
        failure != state.failures.end() &&
        (failure->second.edition != now.edition || failure->second.estimate != now.estimate ||
         failure->second.selected != now.selected);
    if (failure == state.failures.end() || again) {
        if (again) state.failures.erase(failure);
        const std::string reason = drawn_or_reason(draw);
        if (reason.empty()) return;
        failure = state.failures.insert_or_assign(name, now).first;
        failure->second.reason = reason;
    }
    ink_wrapped(state.theme, &Palette::problem,
                name + " cannot be shown: " + failure->second.reason +
                    ". Everything else goes on, and your edits are kept.");
    if (link(state, "Try again", "again " + name)) state.failures.erase(failure);
}

} // namespace aumbry::gui
