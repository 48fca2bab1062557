// A window of WebKitGTK for its WebDriver, run by gjs. The browser that comes with WebKitGTK forgets
// all it stored when a driver steers it, as a private window does; this one keeps it, as a phone does,
// and prints the page where the driver cannot, at window.webkit.messageHandlers.print, given a path.
import Gtk from "gi://Gtk?version=3.0";
import WebKit2 from "gi://WebKit2?version=4.1";
import System from "system";

const [profile] = System.programArgs.filter((arg) => arg.startsWith("/"));
Gtk.init(null);

const context = WebKit2.WebContext.new_with_website_data_manager(
  new WebKit2.WebsiteDataManager({ base_data_directory: profile, base_cache_directory: profile }),
);
const content = new WebKit2.UserContentManager();
content.register_script_message_handler_with_reply("print", null);

function view() {
  const web = new WebKit2.WebView({
    web_context: context,
    user_content_manager: content,
    is_controlled_by_automation: true,
  });
  content.connect("script-message-with-reply-received::print", (_, path, reply) => {
    const settings = new Gtk.PrintSettings();
    settings.set(Gtk.PRINT_SETTINGS_PRINTER, "Print to File");
    settings.set(Gtk.PRINT_SETTINGS_OUTPUT_FILE_FORMAT, "pdf");
    settings.set(Gtk.PRINT_SETTINGS_OUTPUT_URI, "file://" + path.to_string());
    const paper = new Gtk.PageSetup();
    paper.set_paper_size(Gtk.PaperSize.new(Gtk.PAPER_NAME_LETTER));
    const print = new WebKit2.PrintOperation({ web_view: web });
    print.set_print_settings(settings);
    print.set_page_setup(paper);
    print.connect("finished", () => reply.return_value(path));
    print.connect("failed", (_, fault) => reply.return_error_message(fault.message));
    print.print();
    return true;
  });
  const window = new Gtk.Window({ default_width: 360, default_height: 740 });
  window.add(web);
  window.show_all();
  window.connect("destroy", () => Gtk.main_quit());
  return web;
}

context.set_automation_allowed(true);
context.connect("automation-started", (_, session) => {
  const info = new WebKit2.ApplicationInfo();
  info.set_name("MiniBrowser");
  session.set_application_info(info);
  session.connect("create-web-view", view);
});
Gtk.main();
