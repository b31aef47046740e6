//! The packages of the workspace as cargo reads them: targets and dependencies, whatever form a manifest gives them.

use cargo_metadata::{DependencyKind, MetadataCommand, TargetKind};
use std::path::Path;

/// All packages.
#[derive(Clone, Debug, Default)]
pub struct Workspace {
    /// In the order of their names.
    pub packages: Vec<Package>,
}

/// A package.
#[derive(Clone, Debug)]
pub struct Package {
    /// Its name.
    pub name: String,
    /// The path of its manifest from the root.
    pub manifest: String,
    /// Its libraries, programs and tests.
    pub targets: Vec<Target>,
    /// Its dependencies of every kind.
    pub dependencies: Vec<Dependency>,
}

/// A crate of a package.
#[derive(Clone, Debug)]
pub struct Target {
    /// Its name in code.
    pub name: String,
    /// The path of its first file from the root.
    pub root: String,
    /// What it is for.
    pub role: Role,
}

/// What a crate is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// A library.
    Library,
    /// A program that is shipped or run.
    Program,
    /// An integration test, a bench or an example.
    Check,
}

/// A dependency of a package.
#[derive(Clone, Debug)]
pub struct Dependency {
    /// The name of the package that it depends on, whatever the manifest calls it.
    pub package: String,
    /// The name in code.
    pub name: String,
    /// Whether it is for tests only.
    pub is_for_tests: bool,
    /// The platform of a target table.
    pub platform: Option<String>,
}

impl Workspace {
    /// Reads the manifests under `root`, without the network and without the packages of others.
    ///
    /// # Errors
    /// When cargo cannot read a manifest.
    pub fn read(root: &Path) -> Result<Self, cargo_metadata::Error> {
        let metadata = MetadataCommand::new()
            .manifest_path(root.join("Cargo.toml"))
            .no_deps()
            .other_options(vec!["--offline".to_owned()])
            .exec()?;
        let root = metadata.workspace_root.as_std_path().to_path_buf();
        let mut packages: Vec<Package> =
            metadata.packages.iter().map(|package| read_package(package, &root)).collect();
        packages.sort_by(|a, b| a.name.cmp(&b.name));
        Ok(Self { packages })
    }

    /// The package of a name.
    #[must_use]
    pub fn package(&self, name: &str) -> Option<&Package> {
        self.packages.iter().find(|p| p.name == name)
    }
}

fn read_package(package: &cargo_metadata::Package, root: &Path) -> Package {
    let inside =
        |path: &Path| path.strip_prefix(root).unwrap_or(path).to_string_lossy().replace('\\', "/");
    let targets = package.targets.iter().filter_map(|target| {
        let role = role(target.kind.first()?)?;
        let name = target.name.replace('-', "_");
        Some(Target { name, root: inside(target.src_path.as_std_path()), role })
    });
    let dependencies = package.dependencies.iter().map(|dependency| Dependency {
        package: dependency.name.clone(),
        name: dependency.rename.as_ref().unwrap_or(&dependency.name).replace('-', "_"),
        is_for_tests: dependency.kind == DependencyKind::Development,
        platform: dependency.target.as_ref().map(ToString::to_string),
    });
    Package {
        name: package.name.to_string(),
        manifest: inside(package.manifest_path.as_std_path()),
        targets: targets.collect(),
        dependencies: dependencies.collect(),
    }
}

fn role(kind: &TargetKind) -> Option<Role> {
    match kind {
        TargetKind::Lib | TargetKind::CDyLib | TargetKind::RLib => Some(Role::Library),
        TargetKind::Bin => Some(Role::Program),
        TargetKind::Test | TargetKind::Bench | TargetKind::Example => Some(Role::Check),
        _ => None,
    }
}
