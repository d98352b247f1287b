//go:build !linux

package main

func releaseCode() {}
