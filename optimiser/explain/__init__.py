"""Why a case is impossible, and what decides its build."""
