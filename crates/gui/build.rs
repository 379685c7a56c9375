//! Gives the Windows program its icon and its version.

fn main() {
    println!("cargo:rerun-if-changed=build.rs");
    println!("cargo:rerun-if-changed=../../assets/icon.ico");
    // Of the target; the build itself may run elsewhere.
    if std::env::var("CARGO_CFG_TARGET_OS").as_deref() != Ok("windows") {
        return;
    }
    let given = winresource::WindowsResource::new()
        .set_icon("../../assets/icon.ico")
        .set("ProductName", "Barwright")
        .set("FileDescription", "Barwright, a designer for cold-process bar soap")
        .set("LegalCopyright", "The Barwright developers, MIT licence")
        .compile_for("barwright");
    if let Err(error) = given {
        // The program works all the same; `.ci/windows-zip` packs none without.
        println!("cargo:warning=the program gets no icon and no version: {error}");
    }
}
